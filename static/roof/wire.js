// @ts-check
// Mounting and wiring in hand: strings drawn through modules, modules turned, put down and taken away, the box moved.

import { setHint } from "./apply.js"
import { clamp, fitted, keysTo, placeKey, put, svg, tenth, write } from "./dom.js"
import { roofPoint } from "./framing.js"
import { stepFrom } from "./grid.js"
import { extended, holds, spotUnder, spotsAlong, spotsOfString, taken } from "./mounted.js"
import { drawRings } from "./rings.js"
import { changed, say, strokeOfKeys } from "./store.js"

const NEAR_BOX_PX = 16

/**
 * Choose a tool, a string, a scope, what the next wiring is to be like.
 * @param {Roof.Store} d
 * @param {Partial<Roof.Wire>} change
 */
export function chooseWire(d, change) {
  d.wire = { ...d.wire, ...change }
  if (change.tool || change.string) d.wire.drawn = []
  d.hint = d.wire.tool === "put" ? d.words.wire.put_hint : ""
  d.wiringKey = ""
  changed(d)
}

/**
 * @param {Roof.Store} d
 * @param {PointerEvent} event
 * @param {Roof.Seen} point
 */
export function pressWire(d, event, point) {
  const { mounted } = d.plan
  if (!mounted) return
  const spot = spotUnder(mounted, point)
  const box = !spot && nearBox(d, point) ? { ...mounted.box } : undefined
  if (!spot && !box) return
  event.preventDefault()
  d.stroke = { kind: "wire", pointer: event.pointerId, last: point, id: ++d.strokes, met: [], fresh: true, box }
  try {
    d.image.setPointerCapture(event.pointerId)
  } catch {
    // The pointer may be gone already, as after a quick tap.
  }
  if (spot) meet(d, d.stroke, spot)
}

/** @type {(d: Roof.Store, point: Roof.Seen) => boolean} */
function nearBox(d, point) {
  const box = /** @type {Roof.Mounted} */ (d.plan.mounted).box
  return Math.hypot(point.x - box.x, point.y - box.y) * d.camera.scale <= NEAR_BOX_PX
}

/**
 * @param {Roof.Store} d
 * @param {Roof.Wiring} stroke
 * @param {PointerEvent} event
 */
export function dragWire(d, stroke, event) {
  const { mounted } = d.plan
  if (!mounted) return
  const samples = event.getCoalescedEvents?.() ?? []
  for (const sample of samples.length ? samples : [event]) {
    const next = roofPoint(d, sample)
    if (stroke.box) stroke.box = { x: next.x, y: next.y }
    else for (const spot of spotsAlong(mounted, stroke.last, next)) meet(d, stroke, spot)
    stroke.last = next
  }
  if (stroke.box) moveBox(d, stroke.box, stroke.id)
}

/**
 * A stroke has come to a spot; each counts once.
 * @param {Roof.Store} d
 * @param {Roof.Wiring} stroke
 * @param {Roof.Spot} spot
 */
function meet(d, stroke, spot) {
  if (stroke.met.includes(spot)) return
  const pressed = stroke.fresh
  stroke.fresh = false
  stroke.met.push(spot)
  if (d.wire.tool === "string") through(d, spot, pressed)
  else apply(d, spot, stroke)
}

/**
 * Let go of the pointer.
 * @param {Roof.Store} d
 * @param {Roof.Wiring} stroke
 */
export function liftWire(d, stroke) {
  if (stroke.met.length && d.wire.tool === "string") sendString(d)
}

/**
 * The string in hand through one more module; a press on what it is drawn through already goes back to before that.
 * @param {Roof.Store} d
 * @param {Roof.Spot} spot
 * @param {boolean} pressed
 */
function through(d, spot, pressed) {
  if (!holds(spot)) {
    setHint(d, d.words.wire.empty)
    return
  }
  const now = spotsOfString(d.plan, d.wire.string).map((one) => one.index)
  // Who begins at a string's plus end goes on with it; who begins elsewhere draws it anew.
  const from = !d.wire.drawn.length && now.at(-1) === spot.index ? now : null
  d.wire.drawn = from ?? extended(d.wire.drawn, spot.index, pressed)
  setHint(d, "")
  drawDraft(d)
}

/** @param {Roof.Store} d */
function sendString(d) {
  if (!d.wire.drawn.length) {
    drawDraft(d) // what is drawn next begins it anew
    return
  }
  const { spots } = /** @type {Roof.Mounted} */ (d.plan.mounted)
  say(d, { do: "string", number: d.wire.string, spots: d.wire.drawn.map((at) => spots[at].at) })
}

/**
 * Turn, put down or take away what the scope takes at a spot.
 * @param {Roof.Store} d
 * @param {Roof.Spot} spot
 * @param {Roof.Wiring | null} stroke
 */
function apply(d, spot, stroke) {
  const { tool, scope } = d.wire
  if (tool === "string") return
  const wanted = tool === "put" ? [spot].filter((one) => !holds(one)) : taken(d.plan, spot, scope).filter(holds)
  const fresh = stroke ? wanted.filter((one) => one === spot || !stroke.met.includes(one)) : wanted
  if (!fresh.length) {
    setHint(d, tool === "put" ? d.words.wire.taken : d.words.wire.empty)
    return
  }
  if (stroke) stroke.met.push(...fresh.filter((one) => one !== spot))
  setHint(d, "")
  const spots = fresh.map((one) => one.at)
  say(d, stroke ? { do: tool, spots, stroke: stroke.id } : { do: tool, spots })
}

/**
 * @param {Roof.Store} d
 * @param {Roof.Point} box mm
 * @param {number} stroke
 */
function moveBox(d, box, stroke) {
  if (d.now.locked) return
  const [x, y] = [box.x, box.y].map((value) => Math.round(value / 10) / 100)
  say(d, { do: "box", x, y, stroke })
}

/**
 * Arrows move the box by 10 cm, with Shift by a metre.
 * @param {Roof.Store} d
 * @param {KeyboardEvent} event
 */
export function boxKey(d, event) {
  const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key]
  const { mounted } = d.plan
  if (!way || !mounted) return false
  const step = event.shiftKey ? 1000 : 100
  mounted.box = { x: mounted.box.x + way[0] * step, y: mounted.box.y + way[1] * step }
  moveBox(d, mounted.box, strokeOfKeys(d))
  return true
}

/**
 * A key in the drawing while mounting and wiring is in hand; false where it means what it always does.
 * @param {Roof.Store} d
 * @param {KeyboardEvent} event
 */
export function wireKey(d, event) {
  const { plan, wire } = d
  if (!plan.mounted || event.metaKey || event.altKey || event.ctrlKey) return false
  const spot = d.current?.spot
  if (event.key === "PageDown" || event.key === "PageUp") {
    const most = plan.strings.length + 1
    chooseWire(d, { string: clamp(wire.string + (event.key === "PageDown" ? 1 : -1), 1, most) })
    write(d.spoken, fitted(d.words.wire.in_hand, { string: d.wire.string }))
    return true
  }
  if (event.key === "Escape" && wire.drawn.length) {
    chooseWire(d, { string: wire.string })
    return true
  }
  if ((event.key === "Delete" || event.key === "Backspace") && spot && holds(spot)) {
    say(d, { do: "take", spots: [spot.at] })
    return true
  }
  if ((event.key === " " || event.key === "Enter") && spot) {
    onSpot(d, spot)
    return true
  }
  if (!d.current) return false
  const next = stepFrom(d.rows, d.current, event)
  if (!next && !event.key.startsWith("Arrow")) return false
  if (next) {
    d.current = next
    d.cursor = next.key
    d.cursorAt = placeKey(d.focus)
    for (const item of d.rows.flat()) put(item.element, "tabindex", item === next ? "0" : "-1")
    drawRings(d)
    keysTo(next.element)
  }
  return true
}

/**
 * What a press without a pointer does at a spot.
 * @param {Roof.Store} d
 * @param {Roof.Spot} spot
 */
export function onSpot(d, spot) {
  if (d.wire.tool !== "string") {
    apply(d, spot, null)
    return
  }
  through(d, spot, true)
  if (holds(spot)) sendString(d)
}

/**
 * The way that is being drawn, before the page has it.
 * @param {Roof.Store} d
 */
export function drawDraft(d) {
  const layer = d.layers.handles
  layer.replaceChildren()
  const { mounted } = d.plan
  if (d.tray !== "wire" || !mounted || !d.wire.drawn.length) return
  const dots = d.wire.drawn.map((at) => {
    const { left, top, width, height } = mounted.spots[at]
    return `${tenth((left + width / 2) * d.camera.scale + d.camera.x)} ${tenth((top + height / 2) * d.camera.scale + d.camera.y)}`
  })
  svg("path", { class: "draft", d: `M${dots.join("L")}` }, layer)
  dots.forEach((at) => svg("circle", { class: "draft-dot", r: 4, transform: `translate(${at})` }, layer))
}
