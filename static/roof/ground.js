// @ts-check
// What lies under the modules, and the patterns that mark them.

import { svg } from "./dom.js"

const MARGIN_mm = 900 // of roof around the array

/**
 * The roof itself: seams from ridge to gutter.
 * @param {Roof.Store} d
 */
export function drawGround(d) {
  const { box } = d.plan
  const parent = d.layers.ground
  parent.replaceChildren()
  const [x, y] = [box.left - MARGIN_mm, box.top - MARGIN_mm * 0.8]
  const [width, height] = [box.width + 2 * MARGIN_mm, box.height + 1.6 * MARGIN_mm]
  svg("rect", { class: "deck", x, y, width, height, rx: 30 }, parent)
  svg("rect", { class: "seams", x, y, width, height, rx: 30 }, parent)
  svg("path", { class: "ridge", d: `M${x} ${y + 60}H${x + width}M${x} ${y + 110}H${x + width}` }, parent)
  svg("path", { class: "gutter-line", d: `M${x} ${y + height - 70}H${x + width}` }, parent)
}

/**
 * Hatch and dots, each for dark and for light cells, and the seams of the roof.
 * @param {Element} defs
 */
export function drawPatterns(defs) {
  /** @type {(id: string, size: number, angle?: number) => SVGElement} */
  const pattern = (id, size, angle = 0) =>
    svg("pattern", { id, width: size, height: size, patternUnits: "userSpaceOnUse", patternTransform: `rotate(${angle})` }, defs)
  for (const [tail, tone] of [["", ""], ["-dark", " dark"]]) {
    svg("rect", { class: `hatch-line${tone}`, width: 11, height: 34 }, pattern(`hatch${tail}`, 34, 45))
    const veil = pattern(`veil${tail}`, 30)
    for (const at of [7.5, 22.5]) svg("circle", { class: `veil-dot${tone}`, cx: at, cy: at, r: 4.6 }, veil)
  }
  svg("rect", { class: "seam", width: 14, height: 500 }, pattern("seams", 500))
}
