// The keys: go about, nearer and farther, apply the tool.

import { aim } from "./aim.js"
import { act } from "./apply.js"
import { beginStroke, brush, unitOf } from "./brush.js"
import { clamp, keysTo, placeKey, write } from "./dom.js"
import { stepFrom } from "./grid.js"
import { drawRings } from "./items.js"
import { isFar } from "./levels.js"
import { shadowKey } from "./shadow_edit.js"
import { say, show } from "./store.js"
import { farther, nearer, refocus } from "./travel.js"

/** The keys have come to something in the drawing. */
export function focused(d, event) {
  const item = d.rows.flat().find((one) => one.element === event.target || one.element.contains(event.target))
  if (item) {
    d.current = item
    d.cursor = item.key
    d.cursorAt = placeKey(d.focus)
    drawRings(d)
  }
}

/** A key in the drawing; one pressed while the view travels ends the journey first. */
export function keyDown(d, event) {
  d.traveller.finish()
  if (d.tray === "shadow" && shadowKey(d, event)) {
    event.preventDefault()
    event.stopPropagation()
    return
  }
  if (!d.current || event.metaKey || event.altKey || (event.ctrlKey && event.key !== "Home" && event.key !== "End")) return
  const moves = ["ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown", "Home", "End"]
  let used = true
  if (moves.includes(event.key)) {
    const next = stepFrom(d.rows, d.current, event)
    if (next) goTo(d, next)
  } else if (event.key === "PageDown" || event.key === "PageUp") turnPage(d, event.key === "PageDown" ? 1 : -1)
  else if (event.key === "Enter") nearer(d, d.current.place)
  else if (event.key === "Escape" || event.key === "Backspace") used = farther(d)
  else if (event.key === " ") spaceBar(d)
  else used = false
  if (used) {
    event.preventDefault()
    event.stopPropagation()
  }
}

/** A press that came without a pointer, as screen readers make them. */
export function clicked(d, event) {
  if (event.detail !== 0) return
  const item = d.rows.flat().find((one) => one.element === event.target || one.element.contains(event.target))
  if (!item) return
  goTo(d, item)
  spaceBar(d)
}

function goTo(d, item) {
  d.current = item
  d.cursor = item.key
  d.cursorAt = placeKey(item.place)
  show(d, item.place, d.level)
  keysTo(d.rows.flat().find((one) => one.key === item.key)?.element)
}

function spaceBar(d) {
  if (d.tray === "look") {
    nearer(d, d.current.place)
    return
  }
  if (!d.arrived) return
  const key = d.current.key
  const unit = unitOf(d, key)
  if (!unit) {
    act(d, key, aim(d, key))
    return
  }
  beginStroke(d, unit)
  brush(d, [unit.at])
  d.stroke = null
  say(d, { do: "lift" })
}

/** The next module, or string, over. */
function turnPage(d, way) {
  const { plan, focus, level } = d
  if (isFar(level)) {
    const string = clamp((focus.string || 1) + way, 1, plan.strings.length)
    const module = focus.module ? Math.min(focus.module, plan.strings[string - 1].modules.length) : undefined
    show(d, { string, module }, level)
    write(d.spoken, `${d.words.levels.string} ${string}`)
  } else {
    const next = plan.modules[d.active.module.index + way]
    if (!next) return
    const place = { string: next.string, module: next.number }
    if (focus.cell) place.cell = Math.min(focus.cell, next.cells)
    else if (focus.diode || focus.substring) place.substring = Math.min(focus.diode || focus.substring, next.diodes)
    show(d, place, level)
    write(d.spoken, `${d.words.levels.string} ${next.string}, ${d.words.levels.module} ${next.number}`)
  }
  refocus(d)
}
