// @ts-check
// Where the camera looks at each level, and how boxes on the roof lie on the screen.

import { clamp } from "./dom.js"
import { boxOf } from "./boxes.js"
import { cellBox, substringOf } from "./plan.js"

export const GUTTER = 82 // px left of the modules: tracker, leads, strings' numbers
export const RIGHT = 26 // px right of them: the way back of the plus leads
export const SIDE_PX = { wide: 168, high: 104 } // of the side view
const BESIDE = 26 // px beside a mounted roof

/**
 * What of the roof is to be seen, in mm, and where on the screen, in px.
 * @param {Roof.Store} d
 * @returns {[Roof.Box, Roof.Box]}
 */
export function frame(d) {
  const { width, height } = d.size
  const { plan, level } = d
  if (plan.mounted && (level === "array" || level === "string")) {
    const box = level === "array" ? plan.box : boxOf((plan.strings[(d.focus.string || 1) - 1] ?? plan.strings[0]).modules)
    return [box, besideSide(d, box, { left: BESIDE, top: 40, width: width - 2 * BESIDE, height: height - 70 })]
  }
  if (level === "array") {
    return [plan.box, { left: GUTTER, top: 34, width: width - GUTTER - RIGHT, height: height - 64 }]
  }
  if (level === "string") {
    const string = plan.strings[(d.focus.string || 1) - 1] ?? plan.strings[0]
    return [boxOf(string.modules), { left: GUTTER, top: 34, width: width - GUTTER - RIGHT, height: height - 112 }]
  }
  const { module } = seen(d)
  if (level === "cell") return [module, miniRoom(d)]
  const rail = module.shape.rail
  const room = { left: 26, top: 24, width: width - 52, height: height - 44 }
  if (rail === "top") Object.assign(room, { top: 92, height: height - 115 })    // below it a second line of the reading
  if (rail === "bottom") Object.assign(room, { top: 16, height: height - 106 })
  if (rail === "left") Object.assign(room, { left: 140, width: width - 164 })
  if (rail === "right") Object.assign(room, { left: 24, width: width - 164 })
  if (rail === "across") Object.assign(room, { left: 42, width: width - 84 })
  if (rail === "down" || rail === "left" || rail === "right") Object.assign(room, { top: 42, height: height - 84 })
  if (level === "substring") return [substringBox(d, module), room]
  return [module, room]
}

/**
 * The room that the side view leaves: beside it where the array is no wider than that, else above it.
 * @param {Roof.Store} d
 * @param {Roof.Box} box
 * @param {Roof.Box} room
 * @returns {Roof.Box}
 */
function besideSide(d, box, room) {
  if (!showsSide(d)) return room
  const { wide, high } = SIDE_PX
  const beside = { ...room, left: room.left + wide, width: room.width - wide }
  const above = { ...room, height: room.height - high + 8 }
  /** @param {Roof.Box} one */
  const scale = (one) => Math.min(one.width / box.width, one.height / box.height)
  return scale(beside) > scale(above) ? beside : above
}

/**
 * Whether a mounted roof is also shown from its side.
 * @param {Roof.Store} d
 */
export function showsSide(d) {
  return d.tray === "wire" && d.wire.side && !!d.plan.mounted && d.size.width >= 420 && d.size.height >= 260
}

/**
 * @param {Roof.Store} d
 * @param {Roof.Module} module
 */
function substringBox(d, module) {
  const part = activeSubstring(d)
  const boxes = []
  for (let local = part.first; local < part.first + part.count; local++) boxes.push(cellBox(module, local))
  return boxOf(boxes)
}

/**
 * The module that is seen from near: there is one at every level that shows cells.
 * @param {Roof.Store} d
 */
export function seen(d) {
  return /** @type {Roof.Active} */ (d.active)
}

/** @param {Roof.Store} d */
export function activeSubstring(d) {
  const { shape } = seen(d).module
  const number = d.focus.substring || d.focus.diode || (d.focus.cell ? substringOf(shape, d.focus.cell - 1) : 1)
  return shape.substrings[clamp(number, 1, shape.substrings.length) - 1]
}

/** @param {Roof.Store} d */
export function miniRoom(d) {
  const { width, height } = d.size
  if (width < 460) return { left: 14, top: 8, width: width - 28, height: height * 0.26 }
  return { left: 12, top: 18, width: Math.min(width * 0.22, 190), height: height - 36 }
}

/**
 * @param {Roof.Store} d
 * @param {Roof.Box} box
 * @returns {Roof.Box}
 */
export function screenBox(d, box) {
  const { scale, x, y } = d.camera
  return { left: box.left * scale + x, top: box.top * scale + y, width: box.width * scale, height: box.height * scale }
}

/**
 * @param {Roof.Store} d
 * @param {MouseEvent} event
 * @returns {Roof.Seen}
 */
export function roofPoint(d, event) {
  const box = d.image.getBoundingClientRect()
  const x = (event.clientX - box.left) * (d.size.width / box.width)
  const y = (event.clientY - box.top) * (d.size.height / box.height)
  return { x: (x - d.camera.x) / d.camera.scale, y: (y - d.camera.y) / d.camera.scale, px: x, py: y }
}
