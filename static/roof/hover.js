// @ts-check
// What is pointed at: the outline of what the tool would hit, and the line that reads it out.

import { aim } from "./aim.js"
import { put } from "./dom.js"
import { drawRings } from "./rings.js"
import { tellReadout } from "./told.js"
import { updateValues } from "./values.js"

/**
 * The pointer has come to something; null when it has left.
 * @param {Roof.Store} d
 * @param {Roof.Target | null} target
 */
export function hover(d, target) {
  if (d.pointed?.key !== target?.key) {
    d.pointed = target
    if (d.arrived && d.active) updateValues(d.active.texts, d, d.active.module)
  }
  const aimed = target && aim(d, target)
  if (aimed?.key === d.aimed?.key) return
  d.aimed = aimed
  put(d.root, "data-miss", target && !aimed ? "true" : null)
  put(d.root, "data-cable", aimed && d.cables?.some((one) => one.key === target?.key) ? "true" : null)
  if (d.arrived) {
    drawRings(d)
    tellReadout(d)
  }
}
