// @ts-check
// The junction box of a module seen from near: its rail, the way of the current, its diodes and terminals.

import { amount, svg, write } from "./dom.js"
import { boxOf } from "./boxes.js"
import { cellBox } from "./plan.js"
import { chainCurrent, railOf, stepsOf, terminalCurrent } from "./rail.js"
import { flowing, strongest, thickness } from "./ribbons.js"
import { targetAt } from "./target.js"
import { chevron, diode, terminal } from "./symbols.js"
import { zigzag } from "./tiles.js"

/** @typedef {{ module: Roof.Module, rail: Roof.Rail, known: Roof.Detail | null, most: number, on: Set<number>, view: Roof.Store }} Sight */

/** @param {number[]} point */
const line = ([x, y]) => `${Math.round(x * 10) / 10} ${Math.round(y * 10) / 10}`

/**
 * Draw the junction box; gives back what can be focused, in the order of the current.
 * @param {SVGElement} layer
 * @param {Roof.Store} view
 * @param {Roof.Module} module
 * @returns {Roof.Junction}
 */
export function drawRail(layer, view, module) {
  layer.replaceChildren()
  const rail = railOf(module, view.camera, view.size)
  const { now, words } = view
  const known = now.detail && now.detail.module === module.index ? now.detail : null
  /** @type {Sight} */
  const sight = { module, rail, known, most: known ? strongest(known) : 1, on: new Set(now.diodes.on), view }

  const back = svg("g", { class: "rail-wires", "aria-hidden": "true" }, layer)
  drawWires(back, sight)
  if (known) drawFlow(back, sight, known)
  const told = rail.parts.map((part, k) => diodeText(sight, k))
  const steps = stepsOf(rail, told, 11.5 * view.typeScale)
  if (!rail.inner) drawBox(back, rail, words.box, Math.max(...steps))

  const group = svg("g", { class: "rail-items", role: "grid", "aria-label": words.junction }, layer)
  const row = svg("g", { role: "row", "aria-label": words.junction_row }, group)
  const place = { string: module.string, module: module.number }
  const minus = drawTerminal(row, rail, "−")
  const items = [itemAt(rail.minus, { ...targetAt(place, "minus"), kind: "terminal", element: minus })]
  rail.parts.forEach((part, k) => {
    if (!part.diode) return
    const element = drawDiode(row, sight, k, told[k], steps[k])
    items.push(itemAt(part.middle, { ...targetAt({ ...place, diode: k + 1 }), kind: "diode", element }))
  })
  const plus = drawTerminal(row, rail, "+")
  items.push(itemAt(rail.plus, { ...targetAt(place, "plus"), kind: "terminal", element: plus }))
  drawFaults(layer, plus, sight)
  /** @type {["minus" | "plus", [number, number], [number, number]][]} */
  const ends = [["minus", rail.minus, rail.first], ["plus", rail.plus, rail.last]]
  return { items, rail, leads: ends.map(([name, end, node]) => ({ key: targetAt(place, name).key, lines: [[...end, ...node]] })) }
}

/** @type {(centre: number[], item: Omit<Roof.Item, "box" | "label">) => Roof.Item} */
const itemAt = ([x, y], item) => ({ ...item, label: () => "", box: { left: x - 14, top: y - 13, width: 28, height: 26 } })

/** Substrings with a way around them, wires and their knots.
 * @type {(back: SVGElement, sight: Sight) => void} */
function drawWires(back, { module, rail, on, view }) {
  module.shape.substrings.forEach((part, k) => {
    if (on.has(module.diode + k)) drawBypassed(back, view.camera, module, part)
  })
  let d = `M${line(rail.minus)}L${line(rail.first)}M${line(rail.last)}L${line(rail.plus)}`
  rail.parts.forEach((part, k) => {
    d += `M${line(part.a)}L${line(part.A)}M${line(part.b)}L${line(part.B)}`
    if (k) d += `M${line(rail.parts[k - 1].B)}L${line(part.A)}`
    if (part.diode) d += `M${line(part.A)}L${line(part.B)}`
  })
  svg("path", { class: "wire lead", d }, back)
  for (const [x, y] of rail.parts.flatMap((part) => [part.A, part.B])) svg("circle", { class: "knot", cx: x, cy: y, r: 2.4 }, back)
}

/** The current in the leads and between rail and chains, with its direction.
 * @type {(back: SVGElement, sight: Sight, known: Roof.Detail) => void} */
function drawFlow(back, { module, rail, most }, known) {
  const through = module.shape.substrings.length ? terminalCurrent(known, module) : 0
  if (!flowing(through)) return
  /** @type {(current: number, d: string) => void} */
  const flow = (current, d) => { svg("path", { class: `flow${current < 0 ? " backward" : ""}`, d, "stroke-width": thickness(current, most) }, back) }
  const between = rail.parts.map((part, k) => (k ? `M${line(rail.parts[k - 1].B)}L${line(part.A)}` : "")).join("")
  flow(through, `M${line(rail.minus)}L${line(rail.first)}${between}M${line(rail.last)}L${line(rail.plus)}`)
  rail.parts.forEach((part, k) => {
    const current = chainCurrent(known, module.shape.substrings[k])
    if (Math.abs(current) >= 1e-3) flow(current, `M${line(part.A)}L${line(part.a)}M${line(part.b)}L${line(part.B)}`)
  })
  const way = through < 0 ? -1 : 1
  const arrows = [[rail.minus, rail.first], [rail.last, rail.plus]].map(([p, q]) =>
    chevron((p[0] + q[0]) / 2, (p[1] + q[1]) / 2, way * (q[0] - p[0]), way * (q[1] - p[1]), 4))
  svg("path", { class: "arrows", d: arrows.join("") }, back)
}

/** @type {(row: SVGElement, rail: Roof.Rail, sign: "+" | "−") => SVGElement} */
function drawTerminal(row, rail, sign) {
  const [x, y] = sign === "+" ? rail.plus : rail.minus
  const cell = cellIn(row)
  cell.appendChild(terminal(svg("g"), x, y, sign, rail.inner ? 0.85 : 1))
  return cell
}

/** @type {(row: SVGElement, sight: Sight, k: number, told: string, step: number) => SVGElement} */
function drawDiode(row, { module, rail, known, most, on, view }, k, told, step) {
  const part = rail.parts[k], at = module.diode + k
  const [x, y] = part.middle
  const order = known ? known.diodes.indexOf(k) : -1
  const current = known && order >= 0 ? known.diode_current[order] : 0
  const look = { on: on.has(at), fault: view.now.faults.diode.findLast((one) => one[0] === at)?.[1] ?? "" }
  const cell = cellIn(row)
  if (look.on && flowing(current)) {
    svg("path", { class: "flow bypass", d: `M${line(part.A)}L${line(part.B)}`, "stroke-width": thickness(current, most) }, cell)
  }
  if (rail.inner) svg("rect", { class: "box small-box", x: x - 15, y: y - 10, width: 30, height: 20, rx: 4 }, cell)
  diode(cell, x, y, part.angle, look, rail.inner ? 0.74 : 1)
  if (!rail.inner) {
    const left = rail.side === "left"
    const [dx, dy] = rail.upright ? [left ? -20 : 20, 0] : [0, (rail.side === "bottom" ? 23 : -23) * (1 + 0.8 * step)]
    const label = svg("text", {
      class: `diode-label${look.on ? " on" : ""}`, x: x + dx, y: y + dy, "text-anchor": rail.upright ? (left ? "end" : "start") : "middle",
    }, cell)
    write(label, told)
  }
  return cell
}

/** What is wrong with the module as a whole, where its leads show it.
 * @type {(layer: SVGElement, plus: SVGElement, sight: Sight) => void} */
function drawFaults(layer, plus, { module, rail, view }) {
  const own = view.now.faults.module.filter((one) => one[0] === module.index).map((one) => one[1])
  if (own.includes("connector-resistive")) {
    const d = zigzag((rail.last[0] + rail.plus[0]) / 2, (rail.last[1] + rail.plus[1]) / 2 - 1, 8)
    for (const style of ["fault-line halo", "fault-line"]) svg("path", { class: style, d }, plus)
  }
  if (own.includes("module-reversed")) {
    svg("text", { class: "small alert", x: rail.minus[0], y: rail.minus[1] + 24, text: view.words.reversed }, layer)
  }
}

/** What stands beside a diode: its current where it conducts, else its name.
 * @type {(sight: Sight, k: number) => string} */
function diodeText({ module, known, on }, k) {
  const order = known ? known.diodes.indexOf(k) : -1
  return known && on.has(module.diode + k) && order >= 0 ? amount(known.diode_current[order], "A") : `D${k + 1}`
}

/** The outline of a substring whose current takes the way around it.
 * @type {(layer: SVGElement, camera: Roof.Camera, module: Roof.Module, part: Roof.Part) => void} */
function drawBypassed(layer, camera, module, part) {
  const box = boxOf(Array.from({ length: part.count }, (_, k) => cellBox(module, part.first + k)))
  svg("rect", {
    class: "bypassed", x: box.left * camera.scale + camera.x - 1, y: box.top * camera.scale + camera.y - 1,
    width: box.width * camera.scale + 2, height: box.height * camera.scale + 2, rx: 3,
  }, layer)
}

/** @param {SVGElement} row */
const cellIn = (row) => svg("g", { role: "gridcell", tabindex: -1, class: "rail-item" }, row)

/** The outline of the box, with its name where there is room.
 * @type {(layer: SVGElement, rail: Roof.Rail, name: string, lines: number) => void} */
function drawBox(layer, { first, last, side, upright }, name, lines) {
  const low = [Math.min(first[0], last[0]), Math.min(first[1], last[1])]
  const high = [Math.max(first[0], last[0]), Math.max(first[1], last[1])]
  // Room for the labels: below the diodes, or on the far side of an upright rail.
  const room = 33 + 17 * lines
  const [left, top, right, bottom] = upright
    ? (side === "left" ? [84, 16, 16, 16] : [16, 16, 84, 16])
    : (side === "bottom" ? [16, 15, 16, room] : [16, room, 16, 15])
  const box = { x: low[0] - left, y: low[1] - top, width: high[0] - low[0] + left + right, height: high[1] - low[1] + top + bottom, rx: 7 }
  svg("rect", { class: "box", ...box }, layer)
  if (upright) {
    const x = side === "left" ? box.x + 11 : box.x + box.width - 11
    svg("text", { class: "small faint", transform: `translate(${x} ${box.y + box.height / 2}) rotate(-90)`, text: name }, layer)
  } else if (!lines) svg("text", { class: "small faint start", x: box.x + 2, y: box.y - 9, text: name }, layer)
}
