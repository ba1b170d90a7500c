// @ts-check
// True shadows at a moment of a day: polygons on the roof, drawn over its modules.

import { put, svg, tenth } from "./dom.js"

const AFAR = ".shadow.pole, .shadow.rectangle, .shadow.front-row" // drawn by hand as cast from afar: a day has its own

/** @type {WeakMap<SVGElement, SVGElement>} */
const layers = new WeakMap()

/**
 * Corners as the outline of an area.
 * @param {number[]} flat x and y in turn, in mm
 */
export function outlineOf(flat) {
  const points = []
  for (let k = 0; k + 1 < flat.length; k += 2) points.push(`${tenth(flat[k])} ${tenth(flat[k + 1])}`)
  return points.length > 2 ? `M${points.join("L")}Z` : ""
}

/**
 * Draw the shadows of the moment that is shown; none in the array's own light.
 * @param {SVGElement} shadows the layer of those drawn by hand
 * @param {number[][] | undefined} moment
 */
export function drawDayShadows(shadows, moment) {
  let layer = layers.get(shadows)
  if (!layer) {
    if (!moment) return
    layer = svg("path", { class: "day-shadows", style: "fill: var(--ink); fill-opacity: .3; pointer-events: none" })
    layers.set(shadows, layer)
    shadows.after(layer)
  }
  put(layer, "d", (moment ?? []).map(outlineOf).join(""))
  for (const one of shadows.querySelectorAll(AFAR)) {
    if (one instanceof SVGElement) one.style.display = moment ? "none" : ""
  }
}
