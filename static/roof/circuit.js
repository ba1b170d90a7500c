// @ts-check
// One cell as a circuit: source, diode, shunt and series resistance, with what flows where.

import { amount, svg } from "./dom.js"

const TOP = 112
const BOTTOM = 282
const MIDDLE = (TOP + BOTTOM) / 2
const LEFT = 62
const LETTER = 7 // width of one in a branch's name, about

/** @typedef {{ name: string, current: number, draw: (card: Element, x: number) => void, up?: boolean, extra?: string }} Branch */
/** @typedef {(x: number, y: number, value: string, name?: string, anchor?: string) => SVGElement} Text */

/**
 * Draw the equivalent circuit into a layer.
 * @param {Element} layer
 * @param {Roof.Cell} cell
 * @param {Record<string, string>} words
 * @param {Roof.Box} room in px
 */
export function drawCircuit(layer, cell, words, room) {
  layer.replaceChildren()
  const branches = branchesOf(cell, words)
  // As far apart as the longest two names that stand side by side.
  const names = branches.slice(1).map((branch, k) => LETTER * (branch.name.length + branches[k].name.length) / 2 + 8)
  const step = Math.max(branches.length > 4 ? 54 : 60, ...names)
  const end = LEFT + (branches.length - 1) * step
  const added = cell.added_series > 0
  const out = end + (added ? 158 : 104)
  const width = out + 26
  const height = 366
  const scale = Math.min(room.width / width, room.height / height, 1.7)
  const card = svg("g", {
    class: `circuit ${cell.condition}`, role: "img", "aria-label": cell.summary,
    transform: `translate(${room.left + (room.width - width * scale) / 2} ${room.top + (room.height - height * scale) / 2}) scale(${scale})`,
  }, layer)
  /** @type {Text} */
  const text = (x, y, value, name = "", anchor = "middle") => svg("text", { class: name, x, y, "text-anchor": anchor, text: value }, card)
  const eats = cell.does === "eats" ? " alert" : ""

  text(LEFT - 56, 24, cell.title, "title", "start")
  text(LEFT - 56, 45, cell.light, "note", "start")
  text(out + 20, 24, amount(Math.abs(cell.power), "W"), `title${eats}`, "end")
  text(out + 20, 45, words[cell.does], `note${eats}`, "end")

  const most = Math.max(0.05, ...branches.map((b) => Math.abs(b.current)), Math.abs(cell.current))
  const known = cell.condition === "good"
  wire(card, `M${LEFT} ${TOP}H${out}M${LEFT} ${BOTTOM}H${out}`)
  branches.forEach((branch, k) => {
    const x = LEFT + k * step
    wire(card, `M${x} ${TOP}V${BOTTOM}`)
    if (known && Math.abs(branch.current) > 1e-3) {
      const up = branch.up ? branch.current > 0 : branch.current < 0
      flow(card, up ? `M${x} ${BOTTOM}V${TOP}` : `M${x} ${TOP}V${BOTTOM}`, branch.current, most)
    }
    branch.draw(card, x)
    if (k > 0) for (const y of [TOP, BOTTOM]) svg("circle", { class: "knot", cx: x, cy: y, r: 2.6 }, card)
    text(x, BOTTOM + 24, branch.name, "name")
    text(x, BOTTOM + 43, known ? amount(branch.current, "A", Math.abs(branch.current) < 1 ? 2 : 3) : "–", "figure")
    if (branch.extra) text(x, BOTTOM + 61, branch.extra, "note")
  })

  if (known) drawRails(card, branches, step, most)
  const forward = cell.current > 0
  if (known && Math.abs(cell.current) > 1e-3) {
    flow(card, forward ? `M${end} ${TOP}H${out}` : `M${out} ${TOP}H${end}`, cell.current, most)
    flow(card, forward ? `M${out} ${BOTTOM}H${end}` : `M${end} ${BOTTOM}H${out}`, cell.current, most)
  }
  resistorAcross(card, end + 44, words.series, cell.series, text, "")
  if (added) resistorAcross(card, end + 100, words.added, cell.added_series, text, "faulty")
  if (cell.condition === "open") {
    svg("rect", { class: "gap", x: out - 26, y: TOP - 5, width: 16, height: 10 }, card)
    svg("path", { class: "cross", d: `M${out - 24} ${TOP - 9}l12 18m0 -18l-12 18` }, card)
  }
  if (cell.condition === "short") svg("path", { class: "bridge", d: `M${out - 18} ${TOP}V${BOTTOM}` }, card)

  for (const [y, sign] of /** @type {[number, string][]} */ ([[TOP, "+"], [BOTTOM, "−"]])) {
    svg("circle", { class: "ring", cx: out, cy: y, r: 5.5 }, card)
    text(out + 16, y + 6, sign, "sign")
  }
  const x = out - 2
  arrowUp(card, x, TOP + 18, BOTTOM - 18)
  text(x - 9, MIDDLE - 5, words.voltage, "name", "end")
  text(x - 9, MIDDLE + 14, amount(cell.voltage, "V"), "figure", "end")
  text(out - 8, TOP - 34, amount(cell.current, "A"), "figure", "end")
  svg("path", { class: "pointer", d: cell.current < 0 ? `M${out + 6} ${TOP - 20}h-36m6 -4l-6 4l6 4` : `M${out - 30} ${TOP - 20}h36m-6 -4l6 4l-6 4` }, card)
  if (known) {
    arrowUp(card, LEFT - 30, TOP + 14, BOTTOM - 14)
    const vd = text(LEFT - 34, TOP + 2, words.voltage, "name")
    svg("tspan", { class: "index", dy: 4, text: "d" }, vd)
    text(LEFT - 60, BOTTOM + 4, amount(cell.junction, "V"), "figure", "start")
  }
  return card
}

/** What flows along the rails between one branch and the next.
 * @type {(card: Element, branches: Branch[], step: number, most: number) => void} */
function drawRails(card, branches, step, most) {
  let sum = 0
  branches.slice(0, -1).forEach((branch, k) => {
    sum += branch.up ? branch.current : -branch.current
    if (Math.abs(sum) < 1e-3) return
    const [x, next] = sum > 0 ? [LEFT + k * step, LEFT + (k + 1) * step] : [LEFT + (k + 1) * step, LEFT + k * step]
    flow(card, `M${x} ${TOP}H${next}`, sum, most)
    flow(card, `M${next} ${BOTTOM}H${x}`, sum, most)
  })
}

/** @type {(cell: Roof.Cell, words: Record<string, string>) => Branch[]} */
function branchesOf(cell, words) {
  /** @type {Branch[]} */
  const branches = [
    { name: words.source, current: cell.source, up: true, draw: source },
    { name: words.diode, current: cell.diode, draw: junction },
  ]
  if (cell.second_diode !== null) branches.push({ name: words.second_diode, current: cell.second_diode, draw: junction })
  branches.push({ name: words.shunt, current: cell.shunt, extra: ohms(cell.shunt_ohm), draw: (card, x) => resistor(card, x) })
  if (cell.breakdown !== null) branches.push({ name: words.breakdown, current: cell.breakdown, draw: breakdown })
  if (cell.added_shunt_ohm !== null) {
    branches.push({ name: words.leak, current: cell.added_shunt, extra: ohms(cell.added_shunt_ohm), draw: (g, x) => resistor(g, x, "faulty") })
  }
  return branches
}

/** @param {number} value */
function ohms(value) {
  if (value >= 1000) return amount(value / 1000, "kΩ")
  return value < 0.1 ? amount(value * 1000, "mΩ") : amount(value, "Ω")
}

/** @type {(card: Element, d: string) => void} */
function wire(card, d) {
  svg("path", { class: "wire", d }, card)
}

/** @type {(card: Element, d: string, current: number, most: number) => void} */
function flow(card, d, current, most) {
  svg("path", { class: "flow", d, "stroke-width": (1.6 + 3.4 * Math.min(1, Math.abs(current) / most)).toFixed(1) }, card)
}

/** @type {(card: Element, x: number) => void} */
function source(card, x) {
  svg("circle", { class: "symbol sun", cx: x, cy: MIDDLE, r: 19 }, card)
  svg("path", { class: "stroke", d: `M${x} ${MIDDLE + 10}V${MIDDLE - 9}m-5 6l5 -6l5 6` }, card)
}

/** @type {(card: Element, x: number) => void} */
function junction(card, x) {
  svg("path", { class: "symbol", d: `M${x - 12} ${MIDDLE - 10}H${x + 12}L${x} ${MIDDLE + 10}Z` }, card)
  svg("path", { class: "stroke", d: `M${x - 12} ${MIDDLE + 10}H${x + 12}` }, card)
}

/** @type {(card: Element, x: number) => void} */
function breakdown(card, x) {
  junction(card, x)
  svg("path", { class: "stroke", d: `M${x - 12} ${MIDDLE + 10}l-5 5M${x + 12} ${MIDDLE + 10}l5 -5` }, card)
}

/** @type {(card: Element, x: number, name?: string) => void} */
function resistor(card, x, name = "") {
  svg("rect", { class: `symbol ${name}`, x: x - 8, y: MIDDLE - 23, width: 16, height: 46, rx: 1.5 }, card)
}

/** @type {(card: Element, x: number, name: string, ohm: number, text: Text, kind: string) => void} */
function resistorAcross(card, x, name, ohm, text, kind) {
  svg("rect", { class: `symbol ${kind}`, x: x - 21, y: TOP - 8, width: 42, height: 16, rx: 1.5 }, card)
  text(x, TOP + 26, name, kind ? "name alert" : "name")
  text(x, TOP + 44, ohms(ohm), "note")
}

/** @type {(card: Element, x: number, from: number, to: number) => void} */
function arrowUp(card, x, from, to) {
  svg("path", { class: "measure", d: `M${x} ${to}V${from}m-4 7l4 -7l4 7` }, card)
}
