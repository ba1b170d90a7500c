// @ts-check
// From level to level: nearer to a place, and back.

import { keysTo } from "./dom.js"
import { LEVELS } from "./levels.js"
import { moduleAt } from "./plan.js"
import { show } from "./store.js"

/**
 * One level nearer to a place; to `least` where that is nearer still.
 * @param {Roof.Store} d
 * @param {Roof.Place} place
 * @param {Roof.Level | ""} [least]
 */
export function nearer(d, place, least = "") {
  const at = LEVELS.indexOf(d.level)
  let level = LEVELS[Math.min(at + 1, LEVELS.length - 1)]
  if (least && LEVELS.indexOf(level) < LEVELS.indexOf(least)) level = least
  const focus = { ...place, string: place.string || 1 }
  if (LEVELS.indexOf(level) > 1 && !focus.module) focus.module = 1
  if (level === "cell" && !focus.cell) {
    const module = moduleAt(d.plan, focus)
    focus.cell = (module?.shape.substrings[(focus.diode || focus.substring || 1) - 1].first ?? 0) + 1
    delete focus.diode
    delete focus.substring
  }
  show(d, focus, level)
  refocus(d)
}

/**
 * One level back; false where there is none.
 * @param {Roof.Store} d
 */
export function farther(d) {
  const at = LEVELS.indexOf(d.level)
  if (at === 0) return false
  show(d, d.focus, LEVELS[at - 1])
  refocus(d)
  return true
}

/**
 * Keep the keys where the eye is; while the view is on its way the drawing as a whole has them.
 * @param {Roof.Store} d
 */
export function refocus(d) {
  keysTo(d.arrived ? d.current?.element : d.image)
}
