// @ts-check
// The keys: go about, nearer and farther, apply the tool.

import { aim } from "./aim.js"
import { act } from "./apply.js"
import { beginStroke, brush, unitOf } from "./brush.js"
import { clamp, keysTo, placeKey, write } from "./dom.js"
import { seen } from "./framing.js"
import { stepFrom } from "./grid.js"
import { isFar } from "./levels.js"
import { drawRings } from "./rings.js"
import { shadowKey } from "./shadow_edit.js"
import { show } from "./store.js"
import { farther, nearer, refocus } from "./travel.js"
import { onSpot, wireKey } from "./wire.js"

/**
 * The keys have come to something in the drawing.
 * @param {Roof.Store} d
 * @param {FocusEvent} event
 */
export function focused(d, event) {
  const item = itemOf(d, event)
  if (item) {
    d.current = item
    d.cursor = item.key
    d.cursorAt = placeKey(d.focus)
    drawRings(d)
  }
}

/**
 * What something has happened to.
 * @param {Roof.Store} d
 * @param {Event} event
 */
function itemOf(d, event) {
  const at = /** @type {Element} */ (event.target)
  return d.rows.flat().find((one) => one.element.contains(at))
}

/**
 * A key in the drawing; one pressed while the view travels ends the journey first.
 * @param {Roof.Store} d
 * @param {KeyboardEvent} event
 */
export function keyDown(d, event) {
  d.traveller.finish()
  if (d.tray === "shadow" && shadowKey(d, event)) {
    event.preventDefault()
    event.stopPropagation()
    return
  }
  if (d.tray === "wire" && wireKey(d, event)) {
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
  else if (event.key === " ") spaceBar(d, d.current)
  else used = false
  if (used) {
    event.preventDefault()
    event.stopPropagation()
  }
}

/**
 * A press that came without a pointer, as screen readers make them.
 * @param {Roof.Store} d
 * @param {MouseEvent} event
 */
export function clicked(d, event) {
  if (event.detail !== 0) return
  const item = itemOf(d, event)
  if (!item) return
  if (item.spot) {
    onSpot(d, item.spot)
    return
  }
  goTo(d, item)
  spaceBar(d, item)
}

/**
 * @param {Roof.Store} d
 * @param {Roof.Item} item
 */
function goTo(d, item) {
  d.current = item
  d.cursor = item.key
  d.cursorAt = placeKey(item.place)
  show(d, item.place, d.level)
  keysTo(d.rows.flat().find((one) => one.key === item.key)?.element)
}

/**
 * @param {Roof.Store} d
 * @param {Roof.Item} item
 */
function spaceBar(d, item) {
  if (d.tray === "look") {
    nearer(d, item.place)
    return
  }
  if (!d.arrived) return
  const unit = unitOf(d, item)
  if (!unit) {
    act(d, item, aim(d, item))
    return
  }
  brush(d, beginStroke(d, unit), [unit.at])
  d.stroke = null
}

/**
 * The next module, or string, over.
 * @param {Roof.Store} d
 * @param {1 | -1} way
 */
function turnPage(d, way) {
  const { plan, focus, level } = d
  if (isFar(level)) {
    const string = clamp((focus.string || 1) + way, 1, plan.strings.length)
    const module = focus.module ? Math.min(focus.module, plan.strings[string - 1].modules.length) : undefined
    show(d, { string, module }, level)
    write(d.spoken, `${d.words.levels.string} ${string}`)
  } else {
    const next = plan.modules[seen(d).module.index + way]
    if (!next) return
    const part = focus.diode || focus.substring
    /** @type {Roof.Place} */
    const place = { string: next.string, module: next.number }
    if (focus.cell) place.cell = Math.min(focus.cell, next.cells)
    else if (part) place.substring = Math.min(part, next.diodes)
    show(d, place, level)
    write(d.spoken, `${d.words.levels.string} ${next.string}, ${d.words.levels.module} ${next.number}`)
  }
  refocus(d)
}
