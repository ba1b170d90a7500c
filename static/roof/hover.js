// @ts-check
// What is pointed at: the outline of what the tool would hit, and the line that reads it out.

import { aim } from "./aim.js"
import { put } from "./dom.js"
import { drawRings, tellReadout } from "./items.js"
import { updateValues } from "./values.js"

/**
 * The pointer has come to something, by its key; null when it has left.
 * @param {Roof.Store} d
 * @param {string | null} key
 */
export function hover(d, key) {
  if ((d.pointed ?? "") !== (key ?? "")) {
    d.pointed = key ?? ""
    if (d.arrived && d.active) updateValues(d.active.texts, d, d.active.module)
  }
  const wantedKey = key ? aim(d, key) || "" : ""
  if (wantedKey === d.hoverKey) return
  d.hoverKey = wantedKey
  put(d.root, "data-miss", key && !wantedKey ? "true" : null)
  put(d.root, "data-cable", wantedKey && d.cables?.some((one) => one.key === key) ? "true" : null)
  if (d.arrived) {
    drawRings(d)
    tellReadout(d)
  }
}
