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
  if (d.plan.mounted) drawSpots(parent, d.plan.mounted)
}

/**
 * Surfaces, places that are free, and modules that are in no string.
 * @param {Element} parent
 * @param {Roof.Mounted} mounted
 */
function drawSpots(parent, { spots, surfaces }) {
  for (const { box: [x, y, width, height] } of surfaces) {
    svg("rect", { class: "surface", x: x - 60, y: y - 60, width: width + 120, height: height + 120, rx: 20 }, parent)
  }
  for (const { left, top, width, height, module, spare } of spots) {
    if (module) continue
    svg("rect", { class: spare ? "spare" : "free", x: left, y: top, width: spare?.shape.width ?? width, height: spare?.shape.height ?? height, rx: 9 }, parent)
    if (!spare) continue
    const c = spare.shape.cells
    let path = ""
    for (let k = 0; k < c.length; k += 4) path += `M${left + c[k]} ${top + c[k + 1]}h${c[k + 2]}v${c[k + 3]}h${-c[k + 2]}z`
    svg("path", { class: "spare-cells", d: path }, parent)
  }
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
