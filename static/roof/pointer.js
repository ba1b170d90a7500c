// @ts-check
// The pointer: a press looks, breaks or begins a stroke; a stroke shades or mends all it touches.

import { aim, targetUnder, within } from "./aim.js"
import { act } from "./apply.js"
import { beginStroke, brush, unitOf, unitsAlong } from "./brush.js"
import { roofPoint } from "./framing.js"
import { hover } from "./hover.js"
import { LEVELS, isFar } from "./levels.js"
import { dragShadow, pressShadow } from "./shadow_edit.js"
import { settle, show } from "./store.js"
import { nearer } from "./travel.js"
import { dragWire, liftWire, pressWire } from "./wire.js"

/**
 * @param {Roof.Store} d
 * @param {PointerEvent} event
 */
export function pressed(d, event) {
  if (event.button > 0 || !d.arrived) return
  const point = roofPoint(d, event)
  if (d.tray === "shadow") {
    pressShadow(d, event, point)
    return
  }
  if (d.tray === "wire") {
    pressWire(d, event, point)
    return
  }
  const target = targetUnder(d, point)
  if (!target) return
  const press = { pointer: event.pointerId, last: point, start: point, target, moved: false }
  const usable = d.tray !== "look" && within(d, target.place)
  const unit = usable ? unitOf(d, target) : null
  if (!unit) {
    d.stroke = { ...press, kind: usable ? "tap" : "look", aimed: usable ? aim(d, target) : null }
    return
  }
  const stroke = beginStroke(d, unit, press)
  event.preventDefault()
  try {
    d.image.setPointerCapture(event.pointerId)
  } catch {
    // The pointer may be gone already, as after a quick tap.
  }
  look(d, target.place, () => brush(d, stroke, [unit.at]))
  d.current?.element?.focus({ preventScroll: true })
}

/**
 * @param {Roof.Store} d
 * @param {PointerEvent} event
 */
export function moved(d, event) {
  if (!d.arrived) return
  if (d.shadowEdit?.held) {
    dragShadow(d, event)
    return
  }
  const point = roofPoint(d, event)
  const stroke = d.stroke
  if ((!stroke || isBrush(stroke)) && event.pointerType !== "touch") hover(d, d.tray === "shadow" ? null : targetUnder(d, point))
  if (!stroke) return
  if (stroke.kind === "wire") {
    dragWire(d, stroke, event)
    return
  }
  if (stroke.start && Math.hypot(point.px - stroke.start.px, point.py - stroke.start.py) > 4) stroke.moved = true
  if (!isBrush(stroke)) return
  const samples = event.getCoalescedEvents?.() ?? []
  /** @type {number[]} */
  const met = []
  for (const sample of samples.length ? samples : [event]) {
    const next = roofPoint(d, sample)
    met.push(...unitsAlong(d, stroke, stroke.last ?? next, next))
    stroke.last = next
  }
  brush(d, stroke, met)
}

/**
 * A finger that strokes does not scroll; the style touch-action does nothing on shapes within a drawing.
 * @param {Roof.Store} d
 * @param {TouchEvent} event
 */
export function swiped(d, event) {
  if (event.cancelable && event.touches.length === 1 && (isBrush(d.stroke) || d.stroke?.kind === "wire" || d.shadowEdit?.held)) event.preventDefault()
}

/**
 * @param {Roof.Stroke | null} stroke
 * @returns {stroke is Roof.Brushing}
 */
function isBrush(stroke) {
  return stroke?.kind === "paint" || stroke?.kind === "mend"
}

/**
 * @param {Roof.Store} d
 * @param {PointerEvent} event
 */
export function lifted(d, event) {
  if (d.shadowEdit?.held) {
    d.shadowEdit.held = false
    settle(d)
    return
  }
  if (!d.stroke || (event.pointerId !== undefined && event.pointerId !== d.stroke.pointer)) return
  const one = d.stroke
  d.stroke = null
  if (one.kind === "wire") {
    liftWire(d, one)
    settle(d)
    return
  }
  if (isBrush(one)) {
    settle(d)
    return
  }
  if (event.type !== "pointerup" || one.moved) return
  look(d, one.target.place, one.kind === "tap" ? () => act(d, one.target, one.aimed) : null)
  d.current?.element?.focus({ preventScroll: true })
}

/**
 * Turn to what was pointed at, without going nearer; `also` asks for more (see show).
 * @param {Roof.Store} d
 * @param {Roof.Place} place
 * @param {(() => void) | null} [also]
 */
export function look(d, place, also = null) {
  let level = d.level
  if (!within(d, place) && LEVELS.indexOf(level) > 2 && !place.cell) level = "module"
  if (level === "cell" && !place.cell) level = "module"
  show(d, place, level, also)
}

/**
 * @param {Roof.Store} d
 * @param {MouseEvent} event
 */
export function doubled(d, event) {
  if (d.tray !== "look") return
  const target = targetUnder(d, roofPoint(d, event))
  if (target) nearer(d, target.place, isFar(d.level) ? "module" : "")
}
