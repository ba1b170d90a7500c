// One cell as a circuit: source, diode, shunt and series resistance, with what flows where.

import { amount, fitted, number, svg } from "./dom.js"

const TOP = 96
const BOTTOM = 286
const MIDDLE = (TOP + BOTTOM) / 2
const LEFT = 78

/** Draw the equivalent circuit into `layer`, within `room` (px). */
export function drawCircuit(layer, cell, words, room) {
  layer.replaceChildren()
  const branches = branchesOf(cell, words)
  const step = branches.length > 4 ? 62 : 72
  const end = LEFT + (branches.length - 1) * step
  const series = cell.added_series > 0 ? 2 : 1
  const out = end + 56 + series * 62
  const width = out + 92
  const height = 372
  const scale = Math.min(room.width / width, room.height / height, 1.5)
  const card = svg("g", {
    class: `circuit ${cell.condition}`, role: "img", "aria-label": cell.summary,
    transform: `translate(${room.left + (room.width - width * scale) / 2} ${room.top + (room.height - height * scale) / 2}) scale(${scale})`,
  }, layer)
  const text = (x, y, value, name = "", anchor = "middle") => svg("text", { class: name, x, y, "text-anchor": anchor, text: value }, card)

  text(LEFT - 40, 26, cell.title, "title", "start")
  text(LEFT - 40, 48, cell.light, "note", "start")

  const most = Math.max(0.05, ...branches.map((b) => Math.abs(b.current)), Math.abs(cell.current))
  const open = cell.condition === "open"
  const short = cell.condition === "short"
  const known = !open && !short

  wire(card, `M${LEFT} ${TOP}H${out}M${LEFT} ${BOTTOM}H${out}`)
  branches.forEach((branch, k) => {
    const x = LEFT + k * step
    wire(card, `M${x} ${TOP}V${BOTTOM}`)
    branch.draw(card, x)
    if (known && Math.abs(branch.current) > 1e-3) {
      const up = branch.up ? branch.current > 0 : branch.current < 0
      flow(card, up ? `M${x} ${BOTTOM}V${TOP}` : `M${x} ${TOP}V${BOTTOM}`, branch.current, most)
      branch.draw(card, x)
    }
    if (k > 0 && k < branches.length) {
      svg("circle", { class: "knot", cx: x, cy: TOP, r: 2.6 }, card)
      svg("circle", { class: "knot", cx: x, cy: BOTTOM, r: 2.6 }, card)
    }
    text(x, BOTTOM + 24, branch.name, "name")
    text(x, BOTTOM + 42, known ? amount(branch.current, "A") : "–", "figure")
    if (branch.extra) text(x, BOTTOM + 59, branch.extra, "note")
  })

  if (known && Math.abs(cell.current) > 1e-3) {
    const forward = cell.current > 0
    const [a, b] = [`M${end} ${TOP}H${out}`, `M${out} ${BOTTOM}H${end}`]
    flow(card, forward ? a : `M${out} ${TOP}H${end}`, cell.current, most)
    flow(card, forward ? b : `M${end} ${BOTTOM}H${out}`, cell.current, most)
  }
  const rs = end + 60
  resistorAcross(card, rs, TOP)
  text(rs, TOP - 18, words.rs, "name")
  text(rs, TOP + 24, amount(cell.series * 1000, "mΩ"), "note")
  if (cell.added_series > 0) {
    resistorAcross(card, rs + 66, TOP, "faulty")
    text(rs + 66, TOP - 18, words.added, "name alert")
    text(rs + 66, TOP + 24, amount(cell.added_series * 1000, "mΩ"), "note")
  }
  if (open) {
    svg("rect", { class: "gap", x: out - 26, y: TOP - 5, width: 16, height: 10 }, card)
    svg("path", { class: "cross", d: `M${out - 24} ${TOP - 9}l12 18m0 -18l-12 18` }, card)
  }
  if (short) svg("path", { class: "bridge", d: `M${out - 22} ${TOP}V${BOTTOM}` }, card)

  for (const [y, sign] of [[TOP, "+"], [BOTTOM, "−"]]) {
    svg("circle", { class: "ring", cx: out + 6, cy: y, r: 6 }, card)
    text(out + 22, y + 5, sign, "sign")
  }
  arrowDown(card, out + 22, TOP + 20, BOTTOM - 20)
  text(out + 32, MIDDLE - 6, "V", "name", "start")
  text(out + 32, MIDDLE + 13, amount(cell.voltage, "V"), "figure", "start")
  text(out - 2, TOP - 36, fitted("I  {value}", { value: amount(cell.current, "A") }), "figure")
  svg("path", { class: "pointer", d: cell.current < 0 ? `M${out + 12} ${TOP - 24}h-34m6 -4l-6 4l6 4` : `M${out - 22} ${TOP - 24}h34m-6 -4l6 4l-6 4` }, card)
  if (known) {
    arrowDown(card, LEFT - 36, TOP + 12, BOTTOM - 12)
    text(LEFT - 42, MIDDLE - 6, words.vd, "name", "end")
    text(LEFT - 42, MIDDLE + 13, number(cell.junction, 3), "figure", "end")
  }
  text(out + 22, BOTTOM + 30, cell.power < 0 ? words.eats : words.gives, `name${cell.power < -0.02 ? " alert" : ""}`)
  text(out + 22, BOTTOM + 49, amount(Math.abs(cell.power), "W"), `figure strong${cell.power < -0.02 ? " alert" : ""}`)
  return card
}

function branchesOf(cell, words) {
  const branches = [
    { name: words.iph, current: cell.source, up: true, draw: source },
    { name: words.id, current: cell.diode, draw: junction },
  ]
  if (cell.second_diode !== null) branches.push({ name: words.id2, current: cell.second_diode, draw: junction })
  branches.push({ name: words.ish, current: cell.shunt, extra: ohms(cell.shunt_ohm), draw: resistor })
  if (cell.breakdown !== null) branches.push({ name: words.ibr, current: cell.breakdown, draw: breakdown })
  if (cell.added_shunt_ohm !== null) {
    branches.push({ name: words.leak, current: cell.added_shunt, extra: ohms(cell.added_shunt_ohm), draw: (g, x) => resistor(g, x, "faulty") })
  }
  return branches
}

function ohms(value) {
  if (value >= 1000) return amount(value / 1000, "kΩ")
  return value < 0.1 ? amount(value * 1000, "mΩ") : amount(value, "Ω")
}

function wire(card, d) {
  svg("path", { class: "wire", d }, card)
}

function flow(card, d, current, most) {
  svg("path", { class: "flow", d, "stroke-width": (1.4 + 3.2 * Math.min(1, Math.abs(current) / most)).toFixed(1) }, card)
}

function source(card, x) {
  svg("circle", { class: "symbol sun", cx: x, cy: MIDDLE, r: 19 }, card)
  svg("path", { class: "stroke", d: `M${x} ${MIDDLE + 10}V${MIDDLE - 9}m-5 6l5 -6l5 6` }, card)
}

function junction(card, x) {
  svg("path", { class: "symbol", d: `M${x - 13} ${MIDDLE - 11}H${x + 13}L${x} ${MIDDLE + 11}Z` }, card)
  svg("path", { class: "stroke", d: `M${x - 13} ${MIDDLE + 11}H${x + 13}` }, card)
}

function breakdown(card, x) {
  junction(card, x)
  svg("path", { class: "stroke", d: `M${x - 13} ${MIDDLE + 11}l-5 5M${x + 13} ${MIDDLE + 11}l5 -5` }, card)
}

function resistor(card, x, name = "") {
  svg("rect", { class: `symbol ${name}`, x: x - 8, y: MIDDLE - 24, width: 16, height: 48, rx: 1.5 }, card)
}

function resistorAcross(card, x, y, name = "") {
  svg("rect", { class: `symbol ${name}`, x: x - 23, y: y - 8, width: 46, height: 16, rx: 1.5 }, card)
}

function arrowDown(card, x, from, to) {
  svg("path", { class: "measure", d: `M${x} ${to}V${from}m-4 7l4 -7l4 7` }, card)
}
