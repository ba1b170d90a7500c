// @ts-check
// The array from afar: strings between their leads, trackers, current on its way, diodes at work.

import { pieces } from "./cable.js"
import { boxOf } from "./boxes.js"
import { amount, svg, tenth } from "./dom.js"
import { GUTTER } from "./framing.js"
import { drawRule, drawSigns } from "./signs.js"
import { chevron, cut, diode, fuse } from "./symbols.js"

/** @typedef {Roof.Plan["strings"][number]} Strand a string */
/** @typedef {{ X(mm: number): number, Y(mm: number): number, lane: number, apart: boolean, foot: number, edge: number, plus: number, minus: number, head: number, ox: number }} Frame where things stand, in px */
/** @typedef {{ path: string, arrows(way: number): string, minusY: number, plusY: number, top: number, bottom: number }} Lead */
/** @typedef {Lead & { string: Strand, current: number }} Led a string's lead, and the current in it */

const HEAD = 61 // where a string's number stands
/** @type {Record<string, string | undefined>} */
const WRONG_COUNT = { "modules-too-few": "−", "modules-too-many": "+" }
const BUS = { plus: 34, minus: 40 }

/** Shares of a module's width where its minus and its plus lead leave.
 * @param {Roof.Module} module */
function leadSpots(module) {
  const first = module.shape.substrings[0].a
  const last = module.shape.substrings[module.shape.substrings.length - 1].b
  const minusLeft = first[0] !== last[0] ? first[0] < last[0] : first[1] > last[1]
  return minusLeft ? [0.3, 0.7] : [0.7, 0.3]
}

/**
 * Draw all there is between and around the modules.
 * @param {SVGElement} layer
 * @param {Roof.Store} view
 * @returns {{ boxes: Map<string, Roof.Box>, cables: Roof.Cable[] }} what can be focused, and the cables
 */
export function drawWiring(layer, view) {
  layer.replaceChildren()
  const { plan, camera, now, level } = view
  /** @param {number} mm */
  const X = (mm) => mm * camera.scale + camera.x
  /** @param {number} mm */
  const Y = (mm) => mm * camera.scale + camera.y
  const chosen = level === "string" ? view.focus.string || 1 : 0
  const strings = chosen ? [plan.strings[chosen - 1]] : plan.strings
  const field = boxOf(strings.flatMap((string) => string.modules))
  const apart = plan.scene.tracking === "per-string" && !chosen
  const lane = apart ? Math.max(2.5, Math.min(6, (rowGap(plan) * camera.scale) / 2.2)) : Math.max(4, Math.min(8, rowGap(plan) * camera.scale * 0.55))
  const foot = Y(field.top + field.height) + (level === "string" ? 8 : 9)
  const edge = X(field.left + field.width) + 10
  // The gutter stands beside the array, also where the array does not fill the width.
  const ox = Math.max(0, X(field.left) - GUTTER)
  /** @type {Frame} */
  const frame = { X, Y, lane, apart, foot, edge, plus: ox + BUS.plus, minus: ox + BUS.minus, head: ox + HEAD, ox }
  const most = Math.max(0.05, ...now.strings.current.map((value) => Math.abs(value ?? 0)))
  const back = svg("g", { class: "wires" }, layer)
  /** @type {Map<string, Roof.Box>} */
  const boxes = new Map()
  /** @type {Roof.Cable[]} */
  const cables = []
  const small = Math.min(strings[0].modules[0].width, strings[0].modules[0].height) * camera.scale
  const dense = small < 9 // so many modules that their wires would hide them
  const leads = strings.map((string) => {
    const faults = new Set(now.faults.string.filter((f) => f[0] === string.index).map((f) => f[1]))
    const current = now.strings.current[string.index] ?? 0
    const lead = stringPath(string, frame)
    if (!dense) {
      const element = svg("path", { class: "wire", d: lead.path }, back)
      cables.push({ key: `${string.number}`, element, lines: pieces(lead.path) })
      drawCurrent(back, lead.path, current, most, lead.arrows)
    }
    boxes.set(`${string.number}`, drawHead(layer, view, string, lead, faults, now.kept_back ? null : current, frame))
    for (const module of string.modules) {
      boxes.set(`${string.number}/${module.number}`, {
        left: X(module.left), top: Y(module.top), width: module.width * camera.scale, height: module.height * camera.scale,
      })
    }
    return { ...lead, string, current }
  })
  drawTrackers(layer, back, view, leads, frame, most)
  if (plan.scene.wiring === "cross-tied" && !chosen && !dense) drawTies(back, plan, frame)
  drawSigns(layer, view, strings)
  if (level === "string") drawFigures(layer, view, strings[0], X, Y)
  else drawNumbers(layer, plan, X, Y, camera)
  drawRule(layer, view)
  return { boxes, cables }
}

/** The gap between the first two rows, mm.
 * @param {Roof.Plan} plan */
function rowGap(plan) {
  const rows = plan.rows.filter(Boolean)
  if (rows.length < 2) return 1000
  return Math.max(20, rows[1][0].top - rows[0][0].top - rows[0][0].height)
}

/** @type {(parent: Element, path: string, current: number, most: number, arrows: (way: number) => string) => void} */
function drawCurrent(parent, path, current, most, arrows) {
  if (Math.abs(current) < 1e-3) return
  const backward = current < 0
  svg("path", {
    class: `flow${backward ? " backward" : ""}`, d: path, "stroke-width": (1.2 + 1.3 * (Math.abs(current) / most)).toFixed(1),
  }, parent)
  svg("path", { class: "arrows", d: arrows(backward ? -1 : 1) }, parent)
}

/** The way through a string: in from the gutter at minus, through its modules, out at plus.
 * @type {(string: Strand, frame: Frame) => Lead} */
function stringPath(string, { X, Y, lane, apart, edge, plus: plusBus, minus: minusBus }) {
  const { modules } = string
  const first = modules[0]
  const minusY = Y(first.top) - lane
  let path = `M${tenth(minusBus)} ${tenth(minusY)}`
  /** @type {[number, number][]} */
  const links = []
  let x = 0
  modules.forEach((module, k) => {
    const [minus, plus] = leadSpots(module).map((share) => X(module.left + share * module.width))
    const top = Y(module.top)
    const mine = top - lane
    if (k && module.row !== modules[k - 1].row) path += `H${tenth(edge - 4)}V${tenth(mine - lane)}H${tenth(X(module.left) - 6)}V${tenth(mine)}`
    path += `H${tenth(minus)}V${tenth(top + 2)}M${tenth(plus)} ${tenth(top + 2)}V${tenth(mine)}`
    if (k && module.row === modules[k - 1].row) links.push([(x + minus) / 2, mine])
    x = plus
  })
  const last = modules[modules.length - 1]
  const lastY = Y(last.top) - lane
  const plusY = apart ? minusY - lane : lastY
  if (!apart) path += `H${tenth(edge)}`
  else if (last.row === first.row) path += `V${tenth(plusY)}H${tenth(plusBus)}`
  else path += `H${tenth(edge)}V${tenth(plusY)}H${tenth(plusBus)}`
  /** @param {number} way */
  const arrows = (way) => links.map(([ax, ay]) => chevron(ax, ay, way, 0, 3.4)).join("")
  return { path, arrows, minusY, plusY, top: Y(first.top), bottom: Y(last.top + last.height) }
}

/** @type {(layer: Element, view: Roof.Store, string: Strand, lead: Lead, faults: Set<string>, current: Roof.Figure, frame: Frame) => Roof.Box} */
function drawHead(layer, view, string, lead, faults, current, { head, ox }) {
  const { top, bottom, minusY } = lead
  const middle = (top + bottom) / 2
  const roomy = bottom - top > 44
  const group = svg("g", { class: "head", "aria-hidden": "true" }, layer)
  const y = roomy ? middle - 9 : middle
  if (bottom - top >= 13) {
    svg("circle", { class: "chip", cx: head, cy: y, r: Math.min(12, Math.max(7, (bottom - top) / 2.4)) }, group)
    svg("text", { class: "chip-text", x: head, y, text: String(string.number) }, group)
  }
  if (roomy) drawFitting(group, amount(current ?? NaN, "A"), head, middle + 14)
  const details = view.plan.scene.strings[string.index] ?? { fuse: false, blocking: false }
  if (details.fuse) fuse(group, ox + GUTTER - 12, minusY, faults.has("fuse-blown"))
  if (details.blocking) diode(group, ox + GUTTER - 27, minusY, 0, { on: false, fault: "" }, 0.5)
  if (faults.has("cable-open")) cut(group, head - 10, minusY)
  const wrong = [...faults].filter((kind) => kind !== "fuse-blown" && kind !== "cable-open")
  if (wrong.length && roomy) {
    svg("text", { class: "small alert", x: head, y: middle + 28, text: WRONG_COUNT[wrong[0]] ?? "!" }, group)
  }
  return { left: head - 15, top: top + 1, width: 30, height: bottom - top - 2 }
}

/** A figure beside the strings, no wider than the room between the minus lead and the modules.
 * @type {(group: Element, text: string, x: number, y: number) => void} */
function drawFitting(group, text, x, y) {
  const most = 2 * (GUTTER - HEAD) - 5
  const label = svg("text", { class: "small tight", x, y, text }, group)
  const wide = label.getComputedTextLength?.() ?? 0
  if (wide > most) label.style.fontSize = `${(parseFloat(getComputedStyle(label).fontSize) * most) / wide}px`
}

/** @type {(layer: Element, back: Element, view: Roof.Store, leads: Led[], frame: Frame, most: number) => void} */
function drawTrackers(layer, back, view, leads, frame, most) {
  const { plan, now, words, level } = view
  const { ox } = frame
  const one = plan.scene.tracking === "one"
  const group = svg("g", { class: "trackers", "aria-hidden": "true" }, layer)
  for (const span of one ? [leads] : leads.map((lead) => [lead])) {
    const first = span[0]
    const last = span[span.length - 1]
    const top = first.top
    const bottom = last.bottom
    const all = one && level === "array"
    const [, power] = now.trackers[one ? 0 : first.string.index] ?? [0, 0]
    svg("rect", { class: "tracker", x: ox + 5, y: top, width: 21, height: bottom - top, rx: 4 }, group)
    const label = svg("text", { class: "small tight", transform: `translate(${tenth(ox + 16)} ${tenth((top + bottom) / 2)}) rotate(-90)` }, group)
    label.textContent = bottom - top > 130 ? `${one ? words.tracker : `${words.tracker} ${first.string.number}`}  ${watts(power)}` : watts(power)
    const total = span.reduce((sum, lead) => sum + lead.current, 0)
    const minus = `M${tenth(ox + 26)} ${tenth(top + 8)}H${tenth(frame.minus)}M${tenth(frame.minus)} ${tenth(first.minusY)}V${tenth(Math.max(last.minusY, top + 8))}`
    svg("path", { class: "wire", d: minus }, back)
    drawCurrent(back, minus, total, Math.max(most, Math.abs(total)), () => "")
    let plus
    if (frame.apart) plus = `M${tenth(frame.plus)} ${tenth(first.plusY)}V${tenth(top + 16)}H${tenth(ox + 26)}`
    else plus = `M${tenth(frame.edge)} ${tenth(first.plusY)}V${tenth(frame.foot)}H${tenth(frame.plus)}V${tenth(bottom - 10)}H${tenth(ox + 26)}`
    svg("path", { class: "wire", d: plus }, back)
    drawCurrent(back, plus, total, Math.max(most, Math.abs(total)), (way) =>
      frame.apart ? "" : chevron((frame.edge + frame.plus) / 2, frame.foot, -way, 0, 4) + chevron(frame.edge, (first.plusY + frame.foot) / 2, 0, way, 4))
    if (span.length > 1 && bottom - top > 10 * span.length) {
      for (const lead of span) {
        svg("circle", { class: "knot", cx: frame.minus, cy: lead.minusY, r: 2.3 }, group)
        svg("circle", { class: "knot", cx: frame.edge, cy: lead.plusY, r: 2.3 }, group)
      }
    }
    if (all || level === "string") {
      svg("text", { class: "pole", x: frame.minus - 8, y: top + 18, text: "−" }, group)
      svg("text", { class: "pole", x: frame.plus + 5.5, y: bottom - Math.min(18, (last.bottom - last.top) / 8), text: "+" }, group)
    }
  }
}

/** Power with three or four figures, in kW where W would need more.
 * @param {Roof.Figure} power */
function watts(power) {
  const value = power ?? NaN
  return Math.abs(value) < 9999.5 ? amount(value, "W", 4) : amount(value / 1000, "kW", 4)
}

/** @type {(layer: Element, plan: Roof.Plan, frame: Frame) => void} */
function drawTies(layer, plan, { X, Y, lane }) {
  const first = plan.strings[0].modules
  const last = plan.strings[plan.strings.length - 1].modules
  for (let k = 1; k < first.length && k < last.length; k++) {
    const x = X(first[k].left) - 2
    svg("path", { class: "wire tie", d: `M${tenth(x)} ${tenth(Y(first[k].top) - lane)}V${tenth(Y(last[k].top) - lane)}` }, layer)
    for (const string of plan.strings) {
      if (string.modules[k]) svg("circle", { class: "knot", cx: x, cy: Y(string.modules[k].top) - lane, r: 2.3 }, layer)
    }
  }
}

/** @type {(layer: Element, view: Roof.Store, string: Strand, X: Frame["X"], Y: Frame["Y"]) => void} */
function drawFigures(layer, view, string, X, Y) {
  const { now, typeScale: type } = view
  const group = svg("g", { class: "figures", "aria-hidden": "true" }, layer)
  const wide = string.modules[0].width * view.camera.scale
  /** @type {Map<number, number>} */
  const below = new Map()
  for (const module of string.modules) below.set(module.row, Math.max(below.get(module.row) ?? 0, module.top + module.height))
  const lowest = string.modules[string.modules.length - 1].row
  for (const module of string.modules) {
    const x = tenth(X(module.left + module.width / 2))
    const y = tenth(Y(below.get(module.row) ?? 0) + 14)
    if (module.row !== lowest) { // the next row leaves no room below
      svg("text", { class: "label inside", x, y: tenth(Y(module.top + module.height / 2)), text: String(module.number) }, group)
      continue
    }
    const first = y + 10 + 6 * (type - 1)
    if (wide >= 14) svg("text", { class: "label", x, y: tenth(first), text: String(module.number) }, group)
    if (wide < Math.max(44, 40 * type)) continue
    svg("text", { class: "small", x, y: tenth(first + 16 * type + 2), text: amount(now.modules.voltage[module.index] ?? NaN, "V") }, group)
    svg("text", { class: "small", x, y: tenth(first + 32 * type + 2), text: amount(now.modules.power[module.index] ?? NaN, "W") }, group)
  }
}

/** Module numbers over the first row, as over the columns of a table.
 * @type {(layer: Element, plan: Roof.Plan, X: Frame["X"], Y: Frame["Y"], camera: Roof.Camera) => void} */
function drawNumbers(layer, plan, X, Y, camera) {
  const row = plan.rows[0]
  if (!row || row[0].width * camera.scale < 16) return
  const group = svg("g", { class: "figures", "aria-hidden": "true" }, layer)
  for (const module of row) {
    svg("text", { class: "small", x: tenth(X(module.left + module.width / 2)), y: tenth(Y(module.top) - 19), text: String(module.number) }, group)
  }
}
