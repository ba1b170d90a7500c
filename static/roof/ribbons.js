// @ts-check
// Ribbons and cross connectors of a module seen from near, and the current in its chains.

import { put, svg } from "./dom.js"

const LEAST_A = 1e-3 // less is drawn as nothing
const MOST_A = 0.05 // as thick as can be is at least so much

/**
 * Drawn on the glass; they move with it.
 * @param {Roof.Tile} one
 * @returns {Roof.Ribbons}
 */
export function drawRibbons(one) {
  const { shape } = one.module
  const group = svg("g", { class: "ribbons", "aria-hidden": "true" })
  svg("path", { class: "ribbon", d: shape.ribbons }, group)
  svg("path", { class: "connector", d: shape.bars }, group)
  one.group.insertBefore(group, one.overlay)
  const flows = shape.substrings.map((part) =>
    part.chains.map((d) => svg("path", { class: "flow within", d, "vector-effect": "non-scaling-stroke" }, group)),
  )
  return { group, flows }
}

/** The current that is drawn thickest in a module.
 * @param {Roof.Detail} detail */
export const strongest = (detail) => Math.max(MOST_A, ...detail.current.map(Math.abs), ...detail.diode_current.map(Math.abs))

/** How thick a current is drawn.
 * @type {(current: number, most: number) => number} */
export const thickness = (current, most) => Math.round(10 + 30 * Math.min(1, Math.abs(current) / most)) / 10

/** Whether a current is drawn at all.
 * @param {number} current */
export const flowing = (current) => Math.abs(current) > LEAST_A

/**
 * Set the current in every chain of the module.
 * @param {Roof.Ribbons["flows"]} flows
 * @param {Roof.Store} view
 * @param {Roof.Module} module
 */
export function updateFlows(flows, view, module) {
  const { detail } = view.now
  if (!detail || detail.module !== module.index) return
  const most = strongest(detail)
  const { cells, substrings } = module.shape
  const size = Math.min(1, Math.max(0.3, (Math.min(cells[2], cells[3]) * view.camera.scale) / 30))
  substrings.forEach((part, k) => {
    let at = part.first
    part.lengths.forEach((length, chain) => {
      const current = detail.current[at]
      const path = flows[k][chain]
      path.style.display = Math.abs(current) < LEAST_A ? "none" : ""
      put(path, "stroke-width", (thickness(current, most) * size).toFixed(1))
      path.classList.toggle("backward", current < 0)
      at += length
    })
  })
}
