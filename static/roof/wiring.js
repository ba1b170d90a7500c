// The array from afar: strings between their leads, trackers, current on its way, diodes at work.

import { pieces } from "./cable.js"
import { amount, number, svg, tenth } from "./dom.js"
import { boxOf, cellBox } from "./plan.js"
import { badge, chevron, cut, diode, fuse } from "./symbols.js"

export const GUTTER = 82 // px left of the modules: tracker, leads, strings' numbers
export const RIGHT = 26 // px right of them: the way back of the plus leads
const HEAD = 61 // where a string's number stands
const BUS = { plus: 34, minus: 40 }

/** Shares of a module's width where its minus and its plus lead leave. */
function leadSpots(module) {
  const first = module.shape.substrings[0].a
  const last = module.shape.substrings[module.shape.substrings.length - 1].b
  const minusLeft = first[0] !== last[0] ? first[0] < last[0] : first[1] > last[1]
  return minusLeft ? [0.3, 0.7] : [0.7, 0.3]
}

/** Draw all there is between and around the modules; returns the boxes of what can be focused, and the cables. */
export function drawWiring(layer, view) {
  layer.replaceChildren()
  const { plan, camera, now, level } = view
  const X = (mm) => mm * camera.scale + camera.x
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
  const frame = { X, Y, lane, apart, foot, edge, plus: ox + BUS.plus, minus: ox + BUS.minus, head: ox + HEAD, ox }
  const most = Math.max(0.05, ...now.strings.current.map(Math.abs))
  const back = svg("g", { class: "wires" }, layer)
  const boxes = new Map()
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
  drawSigns(layer, view, frame, strings)
  if (level === "string") drawFigures(layer, view, strings[0], X, Y)
  else drawNumbers(layer, plan, X, Y, camera)
  drawRule(layer, view)
  return { boxes, cables }
}

function rowGap(plan) {
  const rows = plan.rows.filter(Boolean)
  if (rows.length < 2) return 1000
  return Math.max(20, rows[1][0].top - rows[0][0].top - rows[0][0].height)
}

function drawCurrent(parent, path, current, most, arrows) {
  if (Math.abs(current) < 1e-3) return
  const backward = current < 0
  svg("path", {
    class: `flow${backward ? " backward" : ""}`, d: path, "stroke-width": (1.2 + 1.3 * (Math.abs(current) / most)).toFixed(1),
  }, parent)
  svg("path", { class: "arrows", d: arrows(backward ? -1 : 1) }, parent)
}

/** The way through a string: in from the gutter at minus, through its modules, out at plus. */
function stringPath(string, { X, Y, lane, apart, edge, plus: plusBus, minus: minusBus }) {
  const { modules } = string
  const first = modules[0]
  const minusY = Y(first.top) - lane
  let path = `M${tenth(minusBus)} ${tenth(minusY)}`
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
  const arrows = (way) => links.map(([ax, ay]) => chevron(ax, ay, way, 0, 3.4)).join("")
  return { path, arrows, minusY, plusY, top: Y(first.top), bottom: Y(last.top + last.height) }
}

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
  if (roomy) drawFitting(group, amount(current, "A"), head, middle + 14)
  const details = view.plan.scene.strings[string.index] || {}
  if (details.fuse) fuse(group, ox + GUTTER - 12, minusY, faults.has("fuse-blown"))
  if (details.blocking) diode(group, ox + GUTTER - 27, minusY, 0, { on: false, fault: "" }, 0.5)
  if (faults.has("cable-open")) cut(group, head - 10, minusY)
  const wrong = [...faults].filter((kind) => kind !== "fuse-blown" && kind !== "cable-open")
  if (wrong.length && roomy) {
    svg("text", { class: "small alert", x: head, y: middle + 28, text: { "modules-too-few": "−", "modules-too-many": "+" }[wrong[0]] ?? "!" }, group)
  }
  return { left: head - 15, top: top + 1, width: 30, height: bottom - top - 2 }
}

/** A figure beside the strings, no wider than the room between the minus lead and the modules. */
function drawFitting(group, text, x, y) {
  const most = 2 * (GUTTER - HEAD) - 5
  const label = svg("text", { class: "small tight", x, y, text }, group)
  const wide = label.getComputedTextLength?.() ?? 0
  if (wide > most) label.style.fontSize = `${(parseFloat(getComputedStyle(label).fontSize) * most) / wide}px`
}

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

/** Power with three or four figures, in kW where W would need more. */
function watts(value) {
  return Math.abs(value) < 9999.5 ? amount(value, "W", 4) : amount(value / 1000, "kW", 4)
}

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

/** Conducting and faulty diodes and broken modules, large enough to be seen from the last row. */
function drawSigns(layer, view, { X, Y }, strings) {
  const { camera, now } = view
  const size = strings[0].modules[0].width * camera.scale
  if (size < 9) return
  const group = svg("g", { class: "signs", "aria-hidden": "true" }, layer)
  const on = new Set(now.diodes.on)
  const faulty = new Map(now.faults.diode.map((f) => [f[0], f[1]]))
  const broken = new Map()
  for (const [at, kind] of now.faults.module) broken.set(at, [...(broken.get(at) || []), kind])
  for (const string of strings) {
    for (const module of string.modules) {
      module.shape.substrings.forEach((part, k) => {
        const at = module.diode + k
        if (on.has(at) || faulty.has(at)) drawBypass(group, view, module, part, { on: on.has(at), fault: faulty.get(at) || "" })
      })
      ;(broken.get(module.index) || []).forEach((kind, k) => {
        const s = Math.max(0.6, Math.min(1.1, size / 70))
        const x = X(module.left) + 11 * s + k * 19 * s
        const y = Y(module.top + module.height) - 11 * s
        badge(group, 0, 0, kind).setAttribute("transform", `translate(${tenth(x)} ${tenth(y)}) scale(${s.toFixed(2)})`)
      })
    }
  }
}

function drawBypass(group, view, module, part, look) {
  const { camera } = view
  const X = (mm) => mm * camera.scale + camera.x
  const Y = (mm) => mm * camera.scale + camera.y
  const cells = []
  for (let local = part.first; local < part.first + part.count; local++) cells.push(cellBox(module, local))
  const box = boxOf(cells)
  const wide = box.width * camera.scale
  const tall = box.height * camera.scale
  const scale = Math.max(0.55, Math.min(1, Math.min(wide, tall) / 34))
  const a = [X(module.left + part.a[0]), Y(module.top + part.a[1])]
  const b = [X(module.left + part.b[0]), Y(module.top + part.b[1])]
  const inset = { top: [0, 6], bottom: [0, -6], left: [6, 0], right: [-6, 0] }[module.shape.rail] ?? [0, 0]
  const x = (a[0] + b[0]) / 2 + inset[0] * scale
  const y = (a[1] + b[1]) / 2 + inset[1] * scale
  const angle = (Math.atan2(b[1] - a[1], b[0] - a[0]) * 180) / Math.PI
  if (look.on) {
    svg("rect", { class: "bypassed", x: tenth(X(box.left)), y: tenth(Y(box.top)), width: tenth(wide), height: tenth(tall), rx: 2 }, group)
  }
  svg("circle", { class: `halo${look.on ? " on" : ""}`, cx: tenth(x), cy: tenth(y), r: tenth(12.5 * scale) }, group)
  diode(group, tenth(x), tenth(y), tenth(angle), look, tenth(scale * 0.9 * 10) / 10)
}

function drawFigures(layer, view, string, X, Y) {
  const { now, typeScale: type } = view
  const group = svg("g", { class: "figures", "aria-hidden": "true" }, layer)
  const wide = string.modules[0].width * view.camera.scale
  const below = new Map()
  for (const module of string.modules) below.set(module.row, Math.max(below.get(module.row) ?? 0, module.top + module.height))
  const lowest = string.modules[string.modules.length - 1].row
  for (const module of string.modules) {
    const x = tenth(X(module.left + module.width / 2))
    const y = tenth(Y(below.get(module.row)) + 14)
    if (module.row !== lowest) { // the next row leaves no room below
      svg("text", { class: "label inside", x, y: tenth(Y(module.top + module.height / 2)), text: String(module.number) }, group)
      continue
    }
    const first = y + 10 + 6 * (type - 1)
    if (wide >= 14) svg("text", { class: "label", x, y: tenth(first), text: String(module.number) }, group)
    if (wide < Math.max(44, 40 * type)) continue
    svg("text", { class: "small", x, y: tenth(first + 16 * type + 2), text: amount(now.modules.voltage[module.index], "V") }, group)
    svg("text", { class: "small", x, y: tenth(first + 32 * type + 2), text: amount(now.modules.power[module.index], "W") }, group)
  }
}

/** Module numbers over the first row, as over the columns of a table. */
function drawNumbers(layer, plan, X, Y, camera) {
  const row = plan.rows[0]
  if (!row || row[0].width * camera.scale < 16) return
  const group = svg("g", { class: "figures", "aria-hidden": "true" }, layer)
  for (const module of row) {
    svg("text", { class: "small", x: tenth(X(module.left + module.width / 2)), y: tenth(Y(module.top) - 19), text: String(module.number) }, group)
  }
}

/** A scale bar of a round length. */
function drawRule(layer, view) {
  const { camera, size } = view
  const metre = 1000 * camera.scale
  const length = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50].find((m) => m * metre >= 34) ?? 100
  const x = size.width - 14
  const y = size.height - 5
  const group = svg("g", { class: "rule", "aria-hidden": "true" }, layer)
  svg("path", { d: `M${tenth(x - length * metre)} ${y - 4}v4H${x}v-4` }, group)
  svg("text", { class: "small end", x: tenth(x - length * metre - 5), y: y - 5, "text-anchor": "end", text: `${number(length, 1)} m` }, group)
}
