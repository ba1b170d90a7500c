// @ts-check
// A stroke of the brush: from afar it takes whole modules, from near cells, and one step undoes it all.

import { aim, cellsIn, lightThrough, placeOfCell, placeOfModule, within } from "./aim.js"
import { isFar } from "./levels.js"
import { cellsAlong, moduleAt, modulesAlong } from "./plan.js"
import { changed, say } from "./store.js"

/** @typedef {{ of: "cell" | "module", at: number }} Unit what a stroke takes, by its index over the array */

/**
 * What a stroke can begin with: a module or a cell, as the level shows them; null where the tool only taps.
 * @param {Roof.Store} d
 * @param {Roof.Target} target
 * @returns {Unit | null}
 */
export function unitOf(d, target) {
  const brushes = d.tray === "shade" || d.tray === "mend" || (d.tray === "break" && d.condition.startsWith("shade"))
  if (!brushes || aim(d, target)?.key !== target.key) return null
  const { place } = target
  const module = moduleAt(d.plan, place)
  if (isFar(d.level)) return module ? { of: "module", at: module.index } : null
  return place.cell && module ? { of: "cell", at: module.cell + place.cell - 1 } : null
}

/**
 * Begin a stroke; what it does to all it meets is settled by what it begins on.
 * @param {Roof.Store} d
 * @param {Unit} unit
 * @param {Partial<Roof.Press>} [press]
 */
export function beginStroke(d, unit, press = {}) {
  const share = d.tray === "mend" ? 1 : Number(d.condition.split(":")[1])
  const again = cellsOf(d, unit).every((cell) => lightThrough(d, cell) === share)
  const kind = d.tray === "mend" ? "mend" : "paint"
  /** @type {Roof.Brushing} */
  const stroke = { ...press, id: ++d.strokes, kind, of: unit.of, to: again ? 1 : share, done: new Set() }
  d.stroke = stroke
  return stroke
}

/**
 * @param {Roof.Store} d
 * @param {Unit} unit
 */
function cellsOf(d, { of, at }) {
  return of === "cell" ? [at] : cellsIn(d.plan.modules[at])
}

/**
 * The modules or cells between two points that the stroke may change.
 * @param {Roof.Store} d
 * @param {Roof.Brushing} stroke
 * @param {Roof.Point} p
 * @param {Roof.Point} q
 */
export function unitsAlong(d, stroke, p, q) {
  if (stroke.of === "cell") return cellsAlong(d.plan, p, q).filter((cell) => within(d, placeOfCell(d, cell)))
  return modulesAlong(d.plan, p, q).filter((module) => within(d, placeOfModule(module))).map((module) => module.index)
}

/**
 * Shade or mend modules or cells: at once in the drawing, then on the page.
 * @param {Roof.Store} d
 * @param {Roof.Brushing} stroke
 * @param {number[]} units
 */
export function brush(d, stroke, units) {
  const { kind, of, to, id, done } = stroke
  const fresh = [...new Set(units)].filter((at) => !done.has(at))
  if (!fresh.length) return
  for (const at of fresh) {
    done.add(at)
    if (!d.now.locked) for (const cell of cellsOf(d, { of, at })) d.pending.set(cell, to)
  }
  say(d, kind === "mend" ? { do: kind, of, at: fresh, stroke: id } : { do: kind, of, at: fresh, to, stroke: id })
  changed(d, "light")
}
