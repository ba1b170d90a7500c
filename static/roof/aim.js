// @ts-check
// What lies under the pointer, and what the tool in hand would hit there.

import { cableUnder } from "./cable.js"
import { activeSubstring, seen } from "./framing.js"
import { isFar } from "./levels.js"
import { spotUnder } from "./mounted.js"
import { cellUnder, moduleAt, moduleKey, moduleOfCell, moduleUnder, substringOf } from "./plan.js"
import { moduleOf, stringOf, targetAt, targetOf } from "./target.js"

/**
 * What lies under the pointer: a diode, a terminal, a string's head or its cable, a cell; from afar a whole module.
 * @param {Roof.Store} d
 * @param {Roof.Seen} point
 * @returns {Roof.Target | null}
 */
export function targetUnder(d, point) {
  if (d.tray === "wire") {
    const spot = d.plan.mounted && spotUnder(d.plan.mounted, point)
    return d.rows.flat().find((item) => item.spot === spot && spot) ?? null
  }
  for (const item of d.rows.flat()) {
    if (item.kind !== "diode" && item.kind !== "terminal" && item.kind !== "string") continue
    const { left, top, width, height } = item.box
    if (point.px >= left && point.px <= left + width && point.py >= top && point.py <= top + height) return item
  }
  const module = moduleUnder(d.plan, point)
  if (!module) return cableAimedAt(d, point)
  const whole = targetAt(placeOfModule(module))
  if (isFar(d.level) || !d.tiles.groups[module.index].cells) return whole
  const cell = cellUnder(d.plan, point)
  if (cell >= 0) return targetAt(placeOfCell(d, cell))
  return aimsAtWholes(d) ? whole : null // between two cells, or on the frame
}

/**
 * The cable under the pointer, where the tool in hand has to do with it; a brush that meets one shades no string.
 * @param {Roof.Store} d
 * @param {Roof.Seen} point
 */
function cableAimedAt(d, point) {
  if (!aimsAtWholes(d) && d.tray !== "mend") return null
  const key = cableUnder(d.cables, point)
  if (!key) return null
  const target = targetOf(key)
  const broken = d.now.faults.string.some(([at]) => !target.lead && at + 1 === target.place.string)
  return d.tray === "mend" && !broken && !target.lead ? null : target
}

/**
 * Whether the tool in hand is about modules or strings, not about single cells.
 * @param {Roof.Store} d
 */
function aimsAtWholes(d) {
  return d.tray === "look" || d.tray === "measure" || ["string", "module"].includes(scopeInHand(d))
}

/**
 * The part the fault in hand belongs to, or "" when the tool breaks nothing; a dead cell is a cell in the dark.
 * @param {Roof.Store} d
 */
function scopeInHand(d) {
  if (d.tray !== "break") return ""
  if (d.condition.startsWith("shade")) return "cell"
  const { scope, scopes } = d.words.kinds[d.condition.split(":")[0]]
  return scopes.includes(d.scope) ? d.scope : scope
}

/**
 * @param {Roof.Module} module
 * @returns {Roof.Place}
 */
export function placeOfModule({ string, number }) {
  return { string, module: number }
}

/**
 * @param {Roof.Store} d
 * @param {number} cell by index over the array
 * @returns {Roof.Place}
 */
export function placeOfCell(d, cell) {
  const module = moduleOfCell(d.plan, cell)
  return { ...placeOfModule(module), cell: cell - module.cell + 1 }
}

/**
 * The share of its light that paint leaves a cell, what is not yet confirmed included.
 * @param {Roof.Store} d
 * @param {number} cell
 */
export function lightThrough(d, cell) {
  return d.pending.get(cell) ?? d.painted.get(cell) ?? 1
}

/**
 * Whether a place lies in the part that is shown; what is faded is looked at, never changed.
 * @param {Roof.Store} d
 * @param {Roof.Place} place
 */
export function within(d, place) {
  if (d.level === "array") return true
  if (d.level === "string") return place.string === (d.focus.string || 1)
  const { module } = seen(d)
  if (place.string !== module.string || place.module !== module.number) return false
  if (d.level !== "substring" || !place.cell) return true
  const part = activeSubstring(d)
  return place.cell > part.first && place.cell <= part.first + part.count
}

/**
 * What the tool would hit: the part of the level its fault belongs to, or null when it does not fit.
 * @param {Roof.Store} d
 * @param {Roof.Target} target what is pointed at
 * @returns {Roof.Target | null}
 */
export function aim(d, target) {
  if (d.tray === "look" || d.tray === "shadow" || d.tray === "wire" || d.tray === "measure") return target
  const { place, lead } = target
  const scope = scopeInHand(d)
  if (!scope) return d.tray === "mend" ? mendable(d, target) : place.diode || lead ? null : target
  if (scope === "string") return targetAt(stringOf(place))
  if (scope === "module") return place.module ? targetAt(moduleOf(place)) : null
  if (scope === "cell") return place.cell ? target : null
  if (place.diode) return target
  const shape = moduleAt(d.plan, place)?.shape
  if (!place.cell || !shape) return null
  const diode = substringOf(shape, place.cell - 1)
  return shape.substrings[diode - 1].diode ? targetAt({ ...moduleOf(place), diode }) : null
}

/**
 * The smallest broken or shaded part there, else what is pointed at; of a module seen from afar the whole.
 * @param {Roof.Store} d
 * @param {Roof.Target} target
 */
function mendable(d, target) {
  const { place, lead } = target
  const { faults } = d.now
  /** @type {(level: "cell" | "diode" | "module" | "string", at: number) => boolean} */
  const has = (level, at) => faults[level].some((f) => f[0] === at)
  const module = moduleAt(d.plan, place)
  if (module && place.cell) {
    const cell = module.cell + place.cell - 1
    if (lightThrough(d, cell) < 1 || has("cell", cell)) return target
    const diode = substringOf(module.shape, place.cell - 1)
    if (has("diode", module.diode + diode - 1)) return targetAt({ ...moduleOf(place), diode })
  }
  if (place.diode) return target
  if (module && (place.cell ? has("module", module.index) : isTroubled(d, module))) return targetAt(placeOfModule(module))
  if (place.string && has("string", place.string - 1)) return targetAt(stringOf(place))
  return lead ? targetAt(place) : target
}

/**
 * Whether anything in a module is broken or shaded.
 * @param {Roof.Store} d
 * @param {Roof.Module} module
 */
function isTroubled(d, module) {
  const { faults } = d.now
  /** @type {(list: Roof.Fault[], first: number, count: number) => boolean} */
  const among = (list, first, count) => list.some(([at]) => at >= first && at < first + count)
  if (among(faults.module, module.index, 1) || among(faults.diode, module.diode, module.diodes)) return true
  if (among(faults.cell, module.cell, module.cells)) return true
  if (faults.substring.some(([at]) => at.startsWith(`${moduleKey(module)}/`))) return true
  return cellsIn(module).some((cell) => lightThrough(d, cell) < 1)
}

/**
 * The cells of a module, by index over the array.
 * @param {Roof.Module} module
 */
export function cellsIn(module) {
  return Array.from({ length: module.cells }, (_, local) => module.cell + local)
}
