// @ts-check
// Shadows in hand: added, dragged by body and handles, moved by keys.

import { clamp, fitted, plain, write } from "./dom.js"
import { roofPoint } from "./framing.js"
import { updatePalette } from "./palette.js"
import { drawHandles, drawShadows, isBand, keyed, stretched, turned } from "./shadows.js"
import { changed, say, strokeOfKeys } from "./store.js"

/**
 * @param {Roof.Store} d
 * @param {string} kind
 */
export function addShadow(d, kind) {
  const centre = {
    x: (d.size.width / 2 - d.camera.x) / d.camera.scale / 1000,
    y: (d.size.height / 2 - d.camera.y) / d.camera.scale / 1000,
  }
  // Beside those that are there already.
  /** @param {Roof.Shadow} one */
  const near = (one) => Math.hypot(one.x - centre.x, one.y - centre.y) < 0.12
  while (d.now.shadows.some(near)) centre.x += 0.25
  d.newShadow = d.now.shadows.length // to be chosen when it comes
  say(d, { do: "shadow-add", kind, x: Math.round(centre.x * 100) / 100, y: Math.round(centre.y * 100) / 100 })
}

/** @param {Roof.Store} d */
export function removeShadow(d) {
  if (d.chosenShadow < 0) return
  say(d, { do: "shadow-remove", index: d.chosenShadow })
  d.current?.element?.focus({ preventScroll: true })
}

/**
 * @param {Roof.Store} d
 * @param {"x" | "y" | "width" | "height" | "angle" | "through"} name
 * @param {number} value
 */
export function shadowField(d, name, value) {
  editShadow(d, d.chosenShadow, { [name]: value }, ++d.strokes)
  if (d.shadowEdit) d.shadowEdit.held = false
}

/**
 * @param {Roof.Store} d
 * @param {number} index
 * @param {Partial<Record<"x" | "y" | "width" | "height" | "angle" | "through", number>>} values
 * @param {number} id
 */
function editShadow(d, index, values, id) {
  /** @type {Omit<Roof.ShadowEdit, "index">} */
  const before = d.shadowEdit?.index === index ? d.shadowEdit : { held: false, values: {} }
  d.shadowEdit = { ...before, index, values: { ...before.values, ...values } }
  const rounded = Object.fromEntries(Object.entries(values).map(([key, value]) => [key, Math.round(value * 1e4) / 1e4]))
  if (!d.now.locked) {
    d.now.shadows[index] = { ...d.now.shadows[index], ...rounded }
    drawShadows(d.layers.shadows, d.plan, d.now.shadows, d.chosenShadow)
    drawHandles(d.layers.handles, d.now.shadows[index], d.plan, d.camera, d.words)
    updatePalette(d.palette, d)
  }
  say(d, { do: "shadow", index, stroke: id, ...rounded })
}

/**
 * @param {Roof.Store} d
 * @param {PointerEvent} event
 * @param {Roof.Seen} point
 */
export function pressShadow(d, event, point) {
  const at = /** @type {Element} */ (event.target)
  /** @type {SVGElement | null} */
  const handle = at.closest("[data-handle]")
  /** @type {SVGElement | null} */
  const body = at.closest("[data-shadow]")
  if (!handle && !body) {
    if (d.chosenShadow >= 0) {
      d.chosenShadow = -1
      changed(d)
    }
    return
  }
  event.preventDefault()
  if (body) d.chosenShadow = Number(body.dataset.shadow)
  const index = d.chosenShadow
  const grip = { name: handle?.dataset.handle ?? "body", start: point, from: { ...d.now.shadows[index] }, id: ++d.strokes }
  d.shadowEdit = { index, values: {}, held: true, grip }
  try {
    d.image.setPointerCapture(event.pointerId)
  } catch {
    // As above: the pointer may be gone.
  }
  changed(d)
  d.current?.element?.focus({ preventScroll: true })
}

/**
 * @param {Roof.Store} d
 * @param {PointerEvent} event
 */
export function dragShadow(d, event) {
  const keep = d.shadowEdit
  if (!keep?.grip) return
  const point = roofPoint(d, event)
  const { index, grip: { name, from, start, id } } = keep
  let values
  if (name === "edge") values = { height: clamp(from.height - (point.y - start.y) / 1000, 0.01, 20) }
  else if (name === "body") {
    if (isBand(from)) return
    values = { x: from.x + (point.x - start.x) / 1000, y: from.y + (point.y - start.y) / 1000 }
  } else if (name === "turn") values = { angle: turned(from, point.x, point.y) }
  else {
    const { x, y, width, height } = stretched(from, name.split(" ").map(Number), point.x, point.y)
    values = { x, y, width, height }
  }
  editShadow(d, index, values, id)
  d.shadowEdit = { ...keep, values: { ...keep.values, ...values } }
}

/**
 * @param {Roof.Store} d
 * @param {number} index
 */
export function chooseShadow(d, index) {
  d.chosenShadow = index
  changed(d)
  tellShadow(d)
}

/**
 * Say where the chosen shadow is.
 * @param {Roof.Store} d
 */
function tellShadow(d) {
  const shadow = d.now.shadows[d.chosenShadow]
  if (!shadow) return
  const kind = d.words.shadows.find(([name]) => name === shadow.kind)?.[1] ?? shadow.kind
  /** @param {number} v */
  const r = (v) => plain(Math.round(v * 100) / 100)
  const values = { kind, x: r(shadow.x), y: r(shadow.y), width: r(shadow.width), height: r(shadow.height), angle: Math.round(shadow.angle) }
  write(d.spoken, fitted(isBand(shadow) ? d.words.band_at : d.words.shadow_at, values))
}

/**
 * @param {Roof.Store} d
 * @param {KeyboardEvent} event
 */
export function shadowKey(d, event) {
  const shadow = d.now.shadows[d.chosenShadow]
  if (event.key === "PageDown" || event.key === "PageUp") {
    const count = d.now.shadows.length
    if (!count) return false
    chooseShadow(d, (d.chosenShadow + (event.key === "PageDown" ? 1 : -1) + count) % count)
    return true
  }
  if (!shadow) return false
  if (event.key === "Escape") {
    chooseShadow(d, -1)
    return true
  }
  if (event.key === "Delete" || event.key === "Backspace") {
    removeShadow(d)
    return true
  }
  const values = keyed(shadow, event)
  if (!values) return false
  editShadow(d, d.chosenShadow, values, strokeOfKeys(d))
  tellShadow(d)
  return true
}
