// @ts-check
// The cables of a mounted roof from afar: each string from the meeting box through its modules and back.

import { amount, svg, tenth } from "./dom.js"
import { drawRule, drawSigns } from "./signs.js"
import { chevron, cut, diode, fuse } from "./symbols.js"
import { hueOf } from "./wire_hand.js"

/** @typedef {[x: number, y: number]} Dot in px */
/** @typedef {{ start: Dot, bend: Dot, end: Dot }} Bow a lead from module to module, drawn as a bow */

const BOW = 0.13 // of a lead's length: how far it stands off the straight line
const APART_PX = 3.2 // between the runs of neighbouring strings
const USUAL_PX = 7.8, SMALL_PX = 6.6 // a sign of a module's number, in usual and in small type

/**
 * Where a lead is drawn between two points: a bow to its left, so that there and back do not lie on each other.
 * @param {Dot} start
 * @param {Dot} end
 * @returns {Bow}
 */
export function bowOf([x0, y0], [x1, y1]) {
  return { start: [x0, y0], bend: [(x0 + x1) / 2 + 2 * BOW * (y1 - y0), (y0 + y1) / 2 - 2 * BOW * (x1 - x0)], end: [x1, y1] }
}

/**
 * The middle of a bow, on the line itself.
 * @param {Bow} bow
 * @returns {Dot}
 */
export const middleOf = ({ start, bend, end }) => [(start[0] + 2 * bend[0] + end[0]) / 4, (start[1] + 2 * bend[1] + end[1]) / 4]

/** @param {Bow} bow */
const bowPath = ({ start, bend, end }) => `M${dot(start)}Q${dot(bend)} ${dot(end)}`

/** @param {Dot} at */
const dot = ([x, y]) => `${tenth(x)} ${tenth(y)}`

/** @param {Dot[]} dots */
const line = (dots) => `M${dots.map(dot).join("L")}`

/**
 * Draw the cables, the box and the strings' numbers.
 * @param {SVGElement} layer
 * @param {Roof.Store} d
 * @returns {{ boxes: Map<string, Roof.Box>, cables: Roof.Cable[] }} what can be focused, and the cables
 */
export function drawRoutes(layer, d) {
  layer.replaceChildren()
  const { plan, now, level } = d
  const mounted = /** @type {Roof.Mounted} */ (plan.mounted)
  const chosen = level === "string" ? d.focus.string || 1 : 0
  const most = Math.max(0.05, ...now.strings.current.map((value) => Math.abs(value ?? 0)))
  const back = svg("g", { class: "wires routes" }, layer)
  /** @type {Map<string, Roof.Box>} */
  const boxes = new Map()
  /** @type {Roof.Cable[]} */
  const cables = []
  if (d.tray === "wire") drawEarlier(back, d)
  for (const module of plan.modules) boxes.set(`${module.string}/${module.number}`, onScreen(d, module))
  for (const string of plan.strings) {
    if (!chosen || string.number === chosen) drawString(back, d, string, most, cables)
  }
  drawSigns(layer, d, chosen ? [plan.strings[chosen - 1]] : plan.strings)
  drawRule(layer, d)
  const over = svg("g", { class: "heads", "aria-hidden": "true" }, layer)
  drawNumbers(over, d, chosen)
  for (const string of plan.strings) {
    const box = drawHead(over, d, string, !chosen || string.number === chosen)
    if (!chosen || string.number === chosen) boxes.set(`${string.number}`, box)
  }
  drawBox(over, d, mounted.box)
  return { boxes, cables }
}

/** @type {(d: Roof.Store, x: number, y: number) => Dot} */
const seen = (d, x, y) => [x * d.camera.scale + d.camera.x, y * d.camera.scale + d.camera.y]

/**
 * @param {Roof.Store} d
 * @param {Roof.Box} box
 * @returns {Roof.Box}
 */
function onScreen(d, box) {
  const [left, top] = seen(d, box.left, box.top)
  return { left, top, width: box.width * d.camera.scale, height: box.height * d.camera.scale }
}

/**
 * A run to the box, its last two corners apart from those of other strings.
 * @param {Roof.Store} d
 * @param {number[]} run x and y of three points, in mm, from the module to the box
 * @param {number} shift px
 * @returns {Dot[]}
 */
function runOf(d, run, shift) {
  const [start, corner, end] = [0, 2, 4].map((k) => seen(d, run[k], run[k + 1]))
  const along = Math.abs(corner[0] - start[0]) > Math.abs(corner[1] - start[1]) || Math.abs(end[1] - corner[1]) > Math.abs(end[0] - corner[0])
  return along
    ? [start, [start[0], start[1] + shift], [corner[0] + shift, corner[1] + shift], [end[0] + shift, end[1]]]
    : [start, [corner[0], corner[1] + shift], [end[0], end[1] + shift]]
}

/**
 * The wiring that this one is compared with, as a faint line.
 * @param {SVGElement} parent
 * @param {Roof.Store} d
 */
function drawEarlier(parent, d) {
  const paths = d.now.earlier.map(({ through, minus, plus }) => {
    const dots = through.map(([x0, y0, x1, y1]) => [seen(d, x0, y0), seen(d, x1, y1)])
    const bows = dots.slice(1).map((to, k) => bowPath(bowOf(dots[k][1], to[0])))
    return [line(runOf(d, minus, 0)), ...bows, line(runOf(d, plus, 0))].join("")
  })
  if (paths.length) svg("path", { class: "earlier", d: paths.join("") }, parent)
}

/**
 * @param {SVGElement} parent
 * @param {Roof.Store} d
 * @param {Roof.Plan["strings"][number]} string
 * @param {number} most A
 * @param {Roof.Cable[]} cables
 */
function drawString(parent, d, string, most, cables) {
  const route = d.plan.mounted?.routes[string.index]
  if (!route || !route.through.length) return
  const count = d.plan.strings.length
  const shift = (string.index - (count - 1) / 2) * Math.min(APART_PX, 40 / count)
  const minus = runOf(d, route.minus, shift - 0.8)
  const plus = runOf(d, route.plus, shift + 0.8)
  const bows = route.through.slice(1).map((to, k) => {
    const from = route.through[k]
    return bowOf(seen(d, from[2], from[3]), seen(d, to[0], to[1]))
  })
  const inner = route.through.map(([x0, y0, x1, y1]) => [seen(d, x0, y0), seen(d, x1, y1)])
    .filter(([a, b]) => Math.hypot(a[0] - b[0], a[1] - b[1]) > 1)
  const path = line(minus.toReversed()) + inner.map(line).join("") + bows.map(bowPath).join("") + line(plus)
  const hue = ` ${hueOf(string.index)}`
  const inHand = d.tray === "wire" && d.wire.tool === "string" && d.wire.string === string.number ? " in-hand" : ""
  svg("path", { class: `casing${inHand}`, d: path }, parent)
  const element = svg("path", { class: `wire route${d.tray === "wire" ? hue : ""}${inHand}`, d: path }, parent)
  const current = d.now.strings.current[string.index] ?? 0
  if (d.tray !== "wire" && Math.abs(current) >= 1e-3) {
    const backward = current < 0
    svg("path", {
      class: `flow${backward ? " backward" : ""}`, d: path, "stroke-width": (1.2 + 1.3 * (Math.abs(current) / most)).toFixed(1),
    }, parent)
  }
  const way = current < 0 ? -1 : 1
  const arrows = bows.filter(({ start, end }) => Math.hypot(start[0] - end[0], start[1] - end[1]) > 12).map((bow) => {
    const [x, y] = middleOf(bow)
    return chevron(x, y, way * (bow.end[0] - bow.start[0]), way * (bow.end[1] - bow.start[1]), 3.4)
  })
  svg("path", { class: `arrows${d.tray === "wire" ? hue : ""}`, d: arrows.join("") }, parent)
  for (const extension of route.extensions) drawExtension(parent, d, extension, bows)
  const bits = [minus, plus, ...bows.map((bow) => [bow.start, middleOf(bow), bow.end])]
  cables.push({
    key: `${string.number}`, element,
    lines: bits.flatMap((dots) => dots.slice(1).map((to, k) => /** @type {[number, number, number, number]} */ ([...dots[k], ...to]))),
  })
}

/**
 * An extension cable: a thicker piece of its lead with a pair of connectors at each end.
 * @param {SVGElement} parent
 * @param {Roof.Store} d
 * @param {[number, number[]]} extension after which module of the string, and its ends in mm
 * @param {Bow[]} bows
 */
function drawExtension(parent, d, [after, [x0, y0, x1, y1]], bows) {
  const bow = bows[after]
  const whole = Math.hypot(bow.end[0] - bow.start[0], bow.end[1] - bow.start[1]) || 1
  const [from, to] = [seen(d, x0, y0), seen(d, x1, y1)].map(([x, y]) => Math.hypot(x - bow.start[0], y - bow.start[1]) / whole)
  const dots = Array.from({ length: 9 }, (_, k) => alongBow(bow, from + ((to - from) * k) / 8))
  svg("path", { class: "extension", d: line(dots) }, parent)
  for (const [x, y] of [dots[0], dots[8]]) svg("rect", { class: "joint", x: tenth(x - 2.6), y: tenth(y - 2.6), width: 5.2, height: 5.2, rx: 1 }, parent)
}

/**
 * A point of a bow, from 0 at its start to 1 at its end.
 * @param {Bow} bow
 * @param {number} t
 * @returns {Dot}
 */
function alongBow({ start, bend, end }, t) {
  const [a, b, c] = [(1 - t) ** 2, 2 * t * (1 - t), t ** 2]
  return [a * start[0] + b * bend[0] + c * end[0], a * start[1] + b * bend[1] + c * end[1]]
}

/**
 * The number of each module, as people write it, where there is room for it.
 * @param {SVGElement} parent
 * @param {Roof.Store} d
 * @param {number} chosen string, or 0
 */
function drawNumbers(parent, d, chosen) {
  for (const module of d.plan.modules) {
    if (chosen && module.string !== chosen) continue
    const { left, top, width, height } = onScreen(d, module)
    const text = `${module.string}/${module.number}`
    const wide = text.length * d.typeScale
    if (width < SMALL_PX * wide + 3 || height < 18 * d.typeScale) continue
    svg("text", { class: `label inside${width < USUAL_PX * wide + 6 ? " small-label" : ""}`, x: tenth(left + width / 2), y: tenth(top + height * 0.62), text }, parent)
  }
}

/**
 * A string's number at the module of its negative end, with its current, fuse and what is broken of it.
 * @param {SVGElement} parent
 * @param {Roof.Store} d
 * @param {Roof.Plan["strings"][number]} string
 * @param {boolean} shown
 * @returns {Roof.Box}
 */
function drawHead(parent, d, string, shown) {
  const first = onScreen(d, string.modules[0])
  const r = Math.max(6, Math.min(11, Math.min(first.width, first.height) / 3))
  const x = first.left + r + 1
  const y = first.top + r + 1
  const box = { left: x - r, top: y - r, width: 2 * r, height: 2 * r }
  if (!shown) return box
  svg("circle", { class: `chip${d.tray === "wire" ? ` ${hueOf(string.index)}` : ""}`, cx: tenth(x), cy: tenth(y), r: tenth(r) }, parent)
  const text = svg("text", { class: "chip-text", x: tenth(x), y: tenth(y), text: String(string.number) }, parent)
  if (r < 9) text.style.fontSize = `${tenth(1.2 * r)}px`
  const current = d.now.strings.current[string.index]
  if (d.tray !== "wire" && current !== null && first.width > 64 && first.height > 40) {
    svg("text", { class: "label inside small-label", x: tenth(first.left + first.width / 2), y: tenth(first.top + first.height - 11), text: amount(current, "A") }, parent)
  }
  const details = d.plan.scene.strings[string.index]
  const faults = new Set(d.now.faults.string.flatMap(([at, kind]) => at === string.index ? [kind] : []))
  const route = d.plan.mounted?.routes[string.index]
  if (!route) return box
  const [px, py] = seen(d, route.plus[0], route.plus[1])
  if (details?.fuse) fuse(parent, tenth(px), tenth(py - 9), faults.has("fuse-blown"))
  if (details?.blocking) diode(parent, tenth(px), tenth(py - 20), 0, { on: false, fault: "" }, 0.5)
  const [mx, my] = seen(d, route.minus[0], route.minus[1])
  if (faults.has("cable-open")) cut(parent, tenth(mx), tenth(my))
  return box
}

/**
 * The box where the strings meet, with the power that leaves it; a handle while wiring is in hand.
 * @param {SVGElement} parent
 * @param {Roof.Store} d
 * @param {Roof.Point} box
 */
function drawBox(parent, d, box) {
  const [x, y] = seen(d, box.x, box.y)
  const group = svg("g", { class: `meeting${d.tray === "wire" ? " movable" : ""}` }, parent)
  svg("rect", { class: "tracker", x: tenth(x - 13), y: tenth(y - 11), width: 26, height: 22, rx: 4, "data-handle": d.tray === "wire" ? "meeting" : null }, group)
  svg("path", { class: "meeting-sign", d: `M${tenth(x - 7)} ${tenth(y + 4)}h14M${tenth(x - 7)} ${tenth(y - 1)}l4 -5 3.500 4 3 -3 3.500 4` }, group)
  const power = d.now.trackers.reduce((sum, [, one]) => sum + (one ?? NaN), 0)
  const text = Number.isNaN(power) ? "" : Math.abs(power) < 9999.5 ? amount(power, "W", 4) : amount(power / 1000, "kW", 4)
  const above = y > 34
  const half = 4.2 * text.length
  const middle = Math.min(d.size.width - half - 4, Math.max(half + 4, x))
  svg("text", { class: "label box-label", x: tenth(middle), y: tenth(above ? y - 20 : y + 21), text }, group)
}
