// What lies under the pointer, and what the tool in hand would hit there.

import { number, put } from "./dom.js"
import { activeSubstring } from "./frame.js"
import { drawRings, tellReadout } from "./items.js"
import { cellUnder, moduleAt, moduleOfCell, moduleUnder, substringOf } from "./plan.js"

/** The key of what lies under the pointer: a diode, a terminal, a string's head, a cell or a module. */
export function keyUnder(d, point) {
  for (const item of d.rows.flat()) {
    if (item.kind !== "diode" && item.kind !== "terminal" && item.kind !== "string") continue
    const { left, top, width, height } = item.box
    if (point.px >= left && point.px <= left + width && point.py >= top && point.py <= top + height) return item.key
  }
  const module = moduleUnder(d.plan, point)
  if (!module) return ""
  if (!d.tiles.groups[module.index].cells) return `${module.string}/${module.number}`
  const cell = cellUnder(d.plan, point)
  if (cell >= 0) return cellKey(d, cell)
  return aimsAtWholes(d) ? `${module.string}/${module.number}` : ""    // between two cells, or on the frame
}

/** Whether the tool in hand is about modules or strings, not about single cells. */
function aimsAtWholes(d) {
  if (d.tray === "look") return true
  if (d.tray !== "break" || d.condition.startsWith("shade")) return false
  return ["string", "module"].includes(d.words.kinds[d.condition.split(":")[0]].scope)
}

export function cellKey(d, cell) {
  const module = moduleOfCell(d.plan, cell)
  return `${module.string}/${module.number}/${cell - module.cell + 1}`
}

export function placeOf(d, key) {
  const [string, module, inner] = key.split("#")[0].split("/")
  const place = { string: Number(string) || undefined, module: Number(module) || undefined }
  if (inner) place[{ d: "diode", s: "substring" }[inner[0]] ?? "cell"] = Number(inner.replace(/\D/, ""))
  return place
}

export function indexOf(d, key) {
  const place = placeOf(d, key)
  const module = moduleAt(d.plan, place)
  return module && place.cell ? module.cell + place.cell - 1 : -1
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
  const scope = d.tray === "break" && !d.condition.startsWith("shade") ? d.words.kinds[d.condition.split(":")[0]].scope : ""
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

/** The smallest broken or shaded part at a key, else the key itself. */
function mendable(d, key) {
  const place = placeOf(d, key)
  const { faults } = d.now
  const has = (level, at) => faults[level].some((f) => f[0] === at)
  const module = moduleAt(d.plan, place)
  if (module && place.cell) {
    const cell = module.cell + place.cell - 1
    if (d.painted.has(cell) || has("cell", cell)) return key
    const number = substringOf(module.shape, place.cell - 1)
    if (has("diode", module.diode + number - 1)) return `${place.string}/${place.module}/d${number}`
  }
  if (place.diode) return key
  if (module && has("module", module.index)) return `${place.string}/${place.module}`
  if (place.string && has("string", place.string - 1)) return `${place.string}`
  return key.split("#")[0]
}

export function hover(d, key) {
  const wantedKey = key ? aim(d, key) || "" : ""
  if (wantedKey === d.hoverKey) return
  d.hoverKey = wantedKey
  put(d.root, "data-miss", key && !wantedKey ? "true" : null)
  if (d.arrived) {
    drawRings(d)
    tellReadout(d)
  }
}
