// The pointer: a press looks, paints, breaks or mends; a stroke paints all it touches.

import { aim, cellKey, hover, indexOf, keyUnder, placeOf, within } from "./aim.js"
import { roofPoint } from "./frame.js"
import { nearer } from "./keys.js"
import { LEVELS } from "./levels.js"
import { updatePalette } from "./palette.js"
import { dragShadow, pressShadow } from "./shadow_edit.js"
import { colour } from "./stage.js"
import { say, show } from "./talk.js"
import { chooseScope } from "./tools.js"

export function pressed(d, event) {
  if (event.button > 0 || !d.arrived) return
  const point = roofPoint(d, event)
  if (d.tray === "shadow") {
    pressShadow(d, event, point)
    return
  }
  const key = keyUnder(d, point)
  if (!key) return
  d.stroke = { id: ++d.strokes, pointer: event.pointerId, last: point, start: point, key, touch: event.pointerType === "touch", moved: false, done: new Set() }
  if (d.tray === "look" || !within(d, key)) {
    d.stroke.kind = "look"
    return
  }
  const target = aim(d, key)
  const cell = placeOf(d, key).cell ? indexOf(d, key) : -1
  const shading = d.condition.startsWith("shade")
  if (cell >= 0 && (d.tray === "shade" || (d.tray === "break" && shading) || d.tray === "mend") && (d.tray !== "mend" || target === key)) {
    const share = shading ? Number(d.condition.split(":")[1]) : 1
    const again = d.tray !== "mend" && d.painted.get(cell) === share
    d.stroke.kind = d.tray === "mend" ? "mend" : "paint"
    d.stroke.to = again ? 1 : share
    event.preventDefault()
    try {
      d.image.setPointerCapture(event.pointerId)
    } catch {
      // The pointer may be gone already, as after a quick tap.
    }
    look(d, key, () => brush(d, [cell]))
    d.current?.element?.focus({ preventScroll: true })
    return
  }
  d.stroke.kind = "tap"
  d.stroke.target = target
}

export function moved(d, event) {
  if (!d.arrived) return
  if (d.shadowEdit?.held) {
    dragShadow(d, event)
    return
  }
  const point = roofPoint(d, event)
  if (!d.stroke) {
    if (event.pointerType !== "touch") hover(d, d.tray === "shadow" ? null : keyUnder(d, point))
    return
  }
  if (Math.hypot(point.px - d.stroke.start.px, point.py - d.stroke.start.py) > 4) d.stroke.moved = true
  if (d.stroke.kind !== "paint" && d.stroke.kind !== "mend") return
  const samples = event.getCoalescedEvents?.() ?? []
  const met = []
  for (const sample of samples.length ? samples : [event]) {
    const next = roofPoint(d, sample)
    met.push(...cellsAlong(d.plan, d.stroke.last, next))
    d.stroke.last = next
  }
  brush(d, met.filter((cell) => within(d, cellKey(d, cell))))
}

/** Shade or mend cells: at once in the drawing, then on the page. */
export function brush(d, cells) {
  const fresh = cells.filter((cell) => !d.stroke.done.has(cell))
  if (!fresh.length) return
  for (const cell of fresh) {
    d.stroke.done.add(cell)
    if (!d.now.locked) {
      d.pending.set(cell, d.stroke.to)
      d.painted.set(cell, d.stroke.to)
    }
  }
  if (d.stroke.kind === "mend") say(d, { do: "mend", at: fresh, stroke: d.stroke.id })
  else say(d, { do: "paint", at: fresh, to: d.stroke.to, stroke: d.stroke.id })
  colour(d)
}

export function lifted(d, event) {
  if (d.shadowEdit?.held) {
    d.shadowEdit.held = false
    say(d, { do: "lift" })
    return
  }
  if (!d.stroke || (event.pointerId !== undefined && event.pointerId !== d.stroke.pointer)) return
  const one = d.stroke
  d.stroke = null
  if (one.kind === "paint" || one.kind === "mend") {
    say(d, { do: "lift" })
    if (!d.gate.busy) d.pending.clear()
    return
  }
  if (event.type !== "pointerup" || one.moved) return
  look(d, one.key, one.kind === "tap" ? () => act(d, one.key, one.target) : null)
  d.current?.element?.focus({ preventScroll: true })
}

/** Apply the tool to what was pointed at; when it does not fit, offer the faults that do. */
export function act(d, key, target) {
  const place = placeOf(d, key)
  if (d.tray === "mend") {
    say(d, { do: "mend", place: target })
    return
  }
  if (target) {
    setHint(d, "")
    say(d, { do: "apply", place: target })
    return
  }
  if (d.tray === "break") {
    const scope = place.diode ? "diode" : key.includes("#") ? "module" : place.cell ? "cell" : place.module ? "module" : "string"
    if (scope !== d.scope && scope !== "string" && !(scope === "module" && d.scope !== "module" && !key.includes("#"))) {
      chooseScope(d, scope)
      setHint(d, d.words.choose_fault)
    } else setHint(d, d.words.go_nearer)
  } else setHint(d, d.words.cannot_shade)
}

function setHint(d, hint) {
  if (d.hint === hint) return
  d.hint = hint
  updatePalette(d.palette, d)
}

/** Turn to what was pointed at, without going nearer; `also` asks for more (see show). */
export function look(d, key, also = null) {
  const place = placeOf(d, key)
  let level = d.level
  if (!within(d, key) && LEVELS.indexOf(level) > 2 && !place.cell) level = "module"
  if (level === "cell" && !place.cell) level = "module"
  show(d, place, level, also)
}

export function doubled(d, event) {
  if (d.tray !== "look") return
  const key = keyUnder(d, roofPoint(d, event))
  if (key) nearer(d, placeOf(d, key), d.level === "array" || d.level === "string" ? "module" : "")
}
