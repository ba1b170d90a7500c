// What lies under the pointer, and what the tool in hand would hit there.

import { cableUnder } from "./cable.js"
import { activeSubstring } from "./framing.js"
import { isFar } from "./levels.js"
import { cellUnder, moduleAt, moduleKey, moduleOfCell, moduleUnder, substringOf } from "./plan.js"

/** The key of what lies under the pointer: a diode, a terminal, a string's head or its cable, a cell; from afar a whole module. */
export function keyUnder(d, point) {
  for (const item of d.rows.flat()) {
    if (item.kind !== "diode" && item.kind !== "terminal" && item.kind !== "string") continue
    const { left, top, width, height } = item.box
    if (point.px >= left && point.px <= left + width && point.py >= top && point.py <= top + height) return item.key
  }
  const module = moduleUnder(d.plan, point)
  if (!module) return cableAimedAt(d, point)
  if (isFar(d.level) || !d.tiles.groups[module.index].cells) return moduleKey(module)
  const cell = cellUnder(d.plan, point)
  if (cell >= 0) return cellKey(d, cell)
  return aimsAtWholes(d) ? moduleKey(module) : "" // between two cells, or on the frame
}

/** The cable under the pointer, where the tool in hand has to do with it; a brush that meets one shades no string. */
function cableAimedAt(d, point) {
  if (!aimsAtWholes(d) && d.tray !== "mend") return ""
  const key = cableUnder(d.cables, point)
  const broken = d.now.faults.string.some(([at]) => `${at + 1}` === key)
  return d.tray === "mend" && !broken && !key.includes("#") ? "" : key
}

/** Whether the tool in hand is about modules or strings, not about single cells. */
function aimsAtWholes(d) {
  return d.tray === "look" || ["string", "module"].includes(scopeInHand(d))
}

/** The part the fault in hand belongs to, or "" when the tool breaks nothing; a dead cell is a cell in the dark. */
function scopeInHand(d) {
  if (d.tray !== "break") return ""
  if (d.condition.startsWith("shade")) return "cell"
  const { scope, scopes } = d.words.kinds[d.condition.split(":")[0]]
  return scopes.includes(d.scope) ? d.scope : scope
}

export function cellKey(d, cell) {
  const module = moduleOfCell(d.plan, cell)
  return `${moduleKey(module)}/${cell - module.cell + 1}`
}

/** The share of its light that paint leaves a cell, what is not yet confirmed included. */
export function lightThrough(d, cell) {
  return d.pending.get(cell) ?? d.painted.get(cell) ?? 1
}

export function placeOf(d, key) {
  const [string, module, inner] = key.split("#")[0].split("/")
  const place = { string: Number(string) || undefined, module: Number(module) || undefined }
  if (inner) place[{ d: "diode", s: "substring" }[inner[0]] ?? "cell"] = Number(inner.replace(/\D/, ""))
  return place
}

/** Whether a key lies in the part that is shown; what is faded is looked at, never changed. */
export function within(d, key) {
  const place = placeOf(d, key)
  if (d.level === "array") return true
  if (d.level === "string") return place.string === (d.focus.string || 1)
  if (place.string !== d.active.module.string || place.module !== d.active.module.number) return false
  if (d.level !== "substring" || !place.cell) return true
  const part = activeSubstring(d)
  return place.cell > part.first && place.cell <= part.first + part.count
}

/** What the tool would hit at a key: the part of the level its fault belongs to, or "" when it does not fit. */
export function aim(d, key) {
  if (!key || d.tray === "look" || d.tray === "shadow") return key
  const place = placeOf(d, key)
  const scope = scopeInHand(d)
  if (!scope) return d.tray === "mend" ? mendable(d, key) : place.diode || key.includes("#") ? "" : key
  if (scope === "string") return `${place.string}`
  if (scope === "module") return place.module ? `${place.string}/${place.module}` : ""
  if (scope === "cell") return place.cell ? key : ""
  if (place.diode) return key
  if (!place.cell) return ""
  const { shape } = moduleAt(d.plan, place)
  const number = substringOf(shape, place.cell - 1)
  return shape.substrings[number - 1].diode ? `${place.string}/${place.module}/d${number}` : ""
}

/** The smallest broken or shaded part at a key, else the key itself; of a module seen from afar the whole. */
function mendable(d, key) {
  const place = placeOf(d, key)
  const { faults } = d.now
  const has = (level, at) => faults[level].some((f) => f[0] === at)
  const module = moduleAt(d.plan, place)
  if (module && place.cell) {
    const cell = module.cell + place.cell - 1
    if (lightThrough(d, cell) < 1 || has("cell", cell)) return key
    const number = substringOf(module.shape, place.cell - 1)
    if (has("diode", module.diode + number - 1)) return `${place.string}/${place.module}/d${number}`
  }
  if (place.diode) return key
  if (module && (place.cell ? has("module", module.index) : isTroubled(d, module))) return moduleKey(module)
  if (place.string && has("string", place.string - 1)) return `${place.string}`
  return key.split("#")[0]
}

/** Whether anything in a module is broken or shaded. */
function isTroubled(d, module) {
  const { faults } = d.now
  const among = (list, first, count) => list.some(([at]) => at >= first && at < first + count)
  if (among(faults.module, module.index, 1) || among(faults.diode, module.diode, module.diodes)) return true
  if (among(faults.cell, module.cell, module.cells)) return true
  if (faults.substring.some(([at]) => at.startsWith(`${moduleKey(module)}/`))) return true
  return cellsIn(module).some((cell) => lightThrough(d, cell) < 1)
}

/** The cells of a module, by index over the array. */
export function cellsIn(module) {
  return Array.from({ length: module.cells }, (_, local) => module.cell + local)
}
