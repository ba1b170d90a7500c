// @ts-check
// What is said of the parts of the drawing: their names for keys and screen readers, and the line that reads one out.

import { amount, fitted, placeKey, write } from "./dom.js"
import { BYPASSED, EATS, SHADED } from "./levels.js"
import { measuredLabel } from "./measured.js"
import { moduleAt } from "./plan.js"
import { targetAt } from "./target.js"
import { valueText } from "./values.js"

/**
 * What is wrong with a part, in words.
 * @param {Roof.Store} d
 * @param {Roof.Fault[]} faults
 * @param {number} at
 */
const wrongWith = (d, faults, at) => faults.flatMap(([one, kind]) => one === at ? [d.words.kinds[kind].title] : [])

/**
 * A cell: its value, what paint does to it, what it does, what is wrong with it.
 * @param {Roof.Store} d
 * @param {number} cell by index over the array
 * @param {number} number in its module
 */
export function cellLabel(d, cell, number) {
  const { said } = d.words
  const flags = d.flags(cell), pending = d.pending.get(cell)
  const parts = [fitted(d.words.cell, { cell: number }), `${valueText(d.quantity, d.value(cell))} ${d.now.scale.unit}`]
  if (pending === undefined ? flags & SHADED : pending < 1) parts.push(said.shaded)
  if (flags & EATS) parts.push(said.eats)
  if (flags & BYPASSED) parts.push(said.bypassed)
  return [...parts, ...wrongWith(d, d.now.faults.cell, cell)].join(", ")
}

/**
 * A diode or a terminal of the junction box.
 * @param {Roof.Store} d
 * @param {Roof.Module} module
 * @param {Roof.Target} target
 */
export function railLabel(d, module, { place, lead }) {
  if (place.diode) return diodeLabel(d, module, place.diode)
  return [lead === "minus" ? d.words.minus : d.words.plus, ...wrongWith(d, d.now.faults.module, module.index)].join(", ")
}

/**
 * A bypass diode: what is wrong with it, what it does, and its voltage.
 * @param {Roof.Store} d
 * @param {Roof.Module} module
 * @param {number} number in its module
 */
function diodeLabel(d, module, number) {
  const { words } = d
  const { diodes, detail, faults } = d.now
  const diode = module.diode + number - 1
  const kinds = faults.diode.flatMap(([at, kind]) => at === diode ? [kind] : [])
  const said = [fitted(words.diode, { diode: number }), ...kinds.map((kind) => words.broken_diodes[kind])]
  const on = diodes.on.indexOf(diode)
  const back = diodes.back.indexOf(diode)
  if (on >= 0) said.push(fitted(words.conducts, { current: amount(diodes.current[on], "A") }))
  else if (back >= 0) said.push(fitted(words.runs_back, { current: amount(diodes.back_current[back], "A") }))
  else if (!kinds.includes("diode-open")) said.push(words.blocks) // one that is open can do neither
  const known = detail?.module === module.index ? detail.diodes.indexOf(number - 1) : -1
  if (detail && known >= 0) said.push(amount(detail.diode_voltage[known], "V"))
  return said.join(", ")
}

/** A figure that may be kept back.
 * @type {(value: Roof.Figure, unit: string) => string} */
const figure = (value, unit) => amount(value ?? NaN, unit)

/**
 * @param {Roof.Store} d
 * @param {Roof.Module} module
 */
export function moduleLabel(d, module) {
  const { now, words } = d
  const on = now.diodes.on.filter((at) => at >= module.diode && at < module.diode + module.diodes).length
  const parts = [fitted(words.module, { string: module.string, module: module.number }), figure(now.modules.power[module.index], "W")]
  if (on) parts.push(fitted(on === 1 ? words.one_diode : words.many_diodes, { count: on }))
  if (now.modules.eats.includes(module.index)) parts.push(words.said.some_eat)
  return [...parts, ...wrongWith(d, now.faults.module, module.index), measuredLabel(d, module)].filter(Boolean).join(", ")
}

/**
 * @param {Roof.Store} d
 * @param {{ index: number, number: number }} string
 */
export function stringLabel(d, { index, number }) {
  const { current, power } = d.now.strings
  const name = fitted(d.words.string, { string: number })
  return [name, figure(current[index], "A"), figure(power[index], "W"), ...wrongWith(d, d.now.faults.string, index)].join(", ")
}

/**
 * A place of a mounted roof: where it is, what is on it, and where the string in hand comes through it.
 * @param {Roof.Store} d
 * @param {Roof.Spot} spot
 */
export function spotLabel(d, spot) {
  const { wire } = d.words
  const at = d.wire.drawn.indexOf(spot.index)
  const said = spot.module
    ? fitted(wire.spot_module, { spot: spot.name, string: spot.module.string, module: spot.module.number })
    : fitted(spot.spare ? wire.spot_spare : wire.spot_free, { spot: spot.name })
  return at < 0 ? said : `${said}, ${fitted(wire.drawn, { number: at + 1 })}`
}

/**
 * The line that reads out what the tool would hit; of the part in focus, or of nothing, the page has said all.
 * @param {Roof.Store} d
 */
export function tellReadout(d) {
  const elsewhere = d.aimed && d.aimed.key !== placeKey(d.focus)
  const said = d.tray === "wire" && d.now.cables ? d.now.cables : d.now.readout
  write(d.readout, d.aimed && elsewhere ? aimedText(d, d.aimed) : said)
}

/**
 * @param {Roof.Store} d
 * @param {Roof.Target} target
 */
function aimedText(d, { key, place }) {
  const spot = d.tray === "wire" && d.rows.flat().find((one) => one.key === key)?.spot
  if (spot) return spotLabel(d, spot)
  const name = targetAt(place).key
  const module = moduleAt(d.plan, place)
  /** @type {(level: Roof.Level | "diode", label: string) => string} */
  const told = (level, label) => [fitted(d.words.read[level], { place: name }), ...label.split(", ").slice(1)].join(" · ")
  if (place.cell && module) return told("cell", cellLabel(d, module.cell + place.cell - 1, place.cell))
  const item = d.rows.flat().find((one) => one.key === key)
  if (item?.kind === "diode") return told("diode", item.label())
  if (module) return told("module", moduleLabel(d, module))
  const string = d.plan.strings[(place.string || 0) - 1]
  return string ? told("string", stringLabel(d, string)) : name
}
