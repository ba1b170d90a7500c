// One module from near: ribbons, the way of the current, the junction box with its diodes, values.

import { amount, put, svg, write, written } from "./dom.js"
import { chevron, diode, terminal } from "./symbols.js"
import { boxOf, cellBox, moduleKey } from "./plan.js"
import { zigzag } from "./tiles.js"
import { shade, table } from "./scales.js"

/** Ribbons and cross connectors, drawn on the glass; they move with it. */
export function drawRibbons(one) {
  const { shape } = one.module
  const group = svg("g", { class: "ribbons", "aria-hidden": "true" })
  svg("path", { class: "ribbon", d: shape.ribbons }, group)
  svg("path", { class: "connector", d: shape.bars }, group)
  one.group.insertBefore(group, one.overlay)
  const flows = shape.substrings.map((part) =>
    part.chains.map((d) => svg("path", { class: "flow within", d, "vector-effect": "non-scaling-stroke" }, group)),
  )
  return { group, flows }
}

/** How thick the current is drawn. */
function width(current, most) {
  return Math.round(10 + 30 * Math.min(1, Math.abs(current) / most)) / 10
}

/** Set the current in every chain of the module. */
export function updateFlows(flows, view, module) {
  const detail = view.now.detail
  if (!detail || detail.module !== module.index) return
  const most = Math.max(0.05, ...detail.current.map(Math.abs), ...detail.diode_current.map(Math.abs))
  const size = Math.min(1, Math.max(0.3, (Math.min(module.shape.cells[2], module.shape.cells[3]) * view.camera.scale) / 30))
  module.shape.substrings.forEach((part, k) => {
    let at = part.first
    part.lengths.forEach((length, chain) => {
      const current = detail.current[at]
      const path = flows[k][chain]
      path.style.display = Math.abs(current) < 1e-3 ? "none" : ""
      put(path, "stroke-width", (width(current, most) * size).toFixed(1))
      path.classList.toggle("backward", current < 0)
      at += length
    })
  })
}

/** Where the rail of the junction box lies on the screen: nodes, diodes and the two terminals. */
export function railOf(module, camera, size) {
  const X = (mm) => mm * camera.scale + camera.x
  const Y = (mm) => mm * camera.scale + camera.y
  const side = module.shape.rail
  const upright = side === "left" || side === "right" || side === "down"
  const box = { left: X(module.left), top: Y(module.top), right: X(module.left + module.width), bottom: Y(module.top + module.height) }
  const ends = module.shape.substrings.map((part) => ({
    a: [X(module.left + part.a[0]), Y(module.top + part.a[1])],
    b: [X(module.left + part.b[0]), Y(module.top + part.b[1])],
    diode: part.diode,
  }))
  const inner = side === "across" || side === "down"
  const at = {
    top: box.top - 40, bottom: box.bottom + 40, left: box.left - 44, right: box.right + 44,
    across: ends[0].a[1], down: ends[0].a[0],
  }[side]
  const on = (node) => (upright ? [at, node[1]] : [node[0], at])
  /** @type {Roof.RailPart[]} */
  const parts = ends.map((part) => {
    const A = on(part.a), B = on(part.b)
    const angle = (Math.atan2(B[1] - A[1], B[0] - A[0]) * 180) / Math.PI
    return { ...part, A, B, middle: [(A[0] + B[0]) / 2, (A[1] + B[1]) / 2], angle }
  })
  const axis = upright ? 1 : 0
  const first = parts[0].A
  const last = parts[parts.length - 1].B
  const sign = last[axis] >= first[axis] ? 1 : -1
  const edge = upright ? [box.top, box.bottom] : [box.left, box.right]
  /** @type {(from: number[], way: number) => [number, number]} */
  const out = (from, way) => {
    const beyond = inner ? (way < 0 ? edge[0] - 22 : edge[1] + 22) : from[axis] + way * 44
    const most = upright ? size.height : size.width
    const held = Math.min(most - 15, Math.max(15, beyond))
    return upright ? [at, held] : [held, at]
  }
  return { side, upright, inner, at, parts, minus: out(first, -sign), plus: out(last, sign), first, last, box }
}

/** Draw the junction box; returns what can be focused, in the order of the current. */
export function drawRail(layer, view, module) {
  layer.replaceChildren()
  const rail = railOf(module, view.camera, view.size)
  const { now, words } = view
  /** @param {number[]} point */
  const line = ([x, y]) => `${Math.round(x * 10) / 10} ${Math.round(y * 10) / 10}`
  const on = new Set(now.diodes.on)
  const faults = new Map((now.faults.diode || []).map((f) => [f[0], f[1]]))
  const own = new Set((now.faults.module || []).filter((f) => f[0] === module.index).map((f) => f[1]))
  const known = now.detail && now.detail.module === module.index ? now.detail : null
  const items = []

  const back = svg("g", { class: "rail-wires", "aria-hidden": "true" }, layer)
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
  const knots = rail.parts.flatMap((part) => [part.A, part.B])
  for (const [x, y] of knots) svg("circle", { class: "knot", cx: x, cy: y, r: 2.4 }, back)

  const most = known ? Math.max(0.05, ...known.current.map(Math.abs), ...known.diode_current.map(Math.abs)) : 1
  const through = known && module.shape.substrings.length ? terminalCurrent(known, module) : 0
  if (Math.abs(through) > 1e-3) {
    const outside = `M${line(rail.minus)}L${line(rail.first)}` + rail.parts.map((part, k) => (k ? `M${line(rail.parts[k - 1].B)}L${line(part.A)}` : "")).join("") + `M${line(rail.last)}L${line(rail.plus)}`
    svg("path", { class: `flow${through < 0 ? " backward" : ""}`, d: outside, "stroke-width": width(through, most) }, back)
    rail.parts.forEach((part, k) => {
      const current = chainCurrent(known, module.shape.substrings[k])
      if (Math.abs(current) < 1e-3) return
      const d = `M${line(part.A)}L${line(part.a)}M${line(part.b)}L${line(part.B)}`
      svg("path", { class: `flow${current < 0 ? " backward" : ""}`, d, "stroke-width": width(current, most) }, back)
    })
    const way = through < 0 ? -1 : 1
    svg("path", {
      class: "arrows",
      d: [[rail.minus, rail.first], [rail.last, rail.plus]].map(([p, q]) => chevron((p[0] + q[0]) / 2, (p[1] + q[1]) / 2, way * (q[0] - p[0]), way * (q[1] - p[1]), 4)).join(""),
    }, back)
  }

  const size = rail.inner ? 0.74 : 1
  const told = rail.parts.map((part, k) => diodeText(part, k, known, on.has(module.diode + k)))
  const steps = stepsOf(rail, told, 11.5 * view.typeScale)
  if (!rail.inner) drawBox(back, rail, words, Math.max(...steps))
  const group = svg("g", { class: "rail-items", role: "grid", "aria-label": words.junction }, layer)
  const row = svg("g", { role: "row", "aria-label": words.junction_row }, group)
  const add = (element, key, place, centre, kind) => {
    items.push({ key, place, element, kind, box: { left: centre[0] - 14, top: centre[1] - 13, width: 28, height: 26 } })
  }
  const place = { string: module.string, module: module.number }
  add(cellOf(row, terminal(svg("g"), ...rail.minus, "−", rail.inner ? 0.85 : 1)), `${module.string}/${module.number}#minus`, place, rail.minus, "terminal")
  rail.parts.forEach((part, k) => {
    if (!part.diode) return
    const at = module.diode + k
    const order = known ? known.diodes.indexOf(k) : -1
    const current = order >= 0 ? known.diode_current[order] : 0
    const look = { on: on.has(at), fault: faults.get(at) || "" }
    const cell = cellOf(row, null)
    if (look.on && Math.abs(current) > 1e-3) {
      svg("path", { class: "flow bypass", d: `M${line(part.A)}L${line(part.B)}`, "stroke-width": width(current, most) }, cell)
    }
    if (rail.inner) svg("rect", { class: "box small-box", x: part.middle[0] - 15, y: part.middle[1] - 10, width: 30, height: 20, rx: 4 }, cell)
    diode(cell, ...part.middle, part.angle, look, size)
    if (!rail.inner) {
      const [dx, dy] = rail.upright ? [rail.side === "left" ? -20 : 20, 0] : [0, (rail.side === "bottom" ? 23 : -23) * (1 + 0.8 * steps[k])]
      const label = svg("text", {
        class: `diode-label${look.on ? " on" : ""}`, x: part.middle[0] + dx, y: part.middle[1] + dy,
        "text-anchor": rail.upright ? (rail.side === "left" ? "end" : "start") : "middle",
      }, cell)
      write(label, told[k])
    }
    add(cell, `${module.string}/${module.number}/d${k + 1}`, { ...place, diode: k + 1 }, part.middle, "diode")
  })
  const plus = cellOf(row, terminal(svg("g"), ...rail.plus, "+", rail.inner ? 0.85 : 1))
  add(plus, `${module.string}/${module.number}#plus`, place, rail.plus, "terminal")
  if (own.has("connector-resistive")) {
    const x = (rail.last[0] + rail.plus[0]) / 2
    const y = (rail.last[1] + rail.plus[1]) / 2
    svg("path", { class: "fault-line halo", d: zigzag(x, y - 1, 8) }, plus)
    svg("path", { class: "fault-line", d: zigzag(x, y - 1, 8) }, plus)
  }
  if (own.has("module-reversed")) {
    svg("text", { class: "small alert", x: rail.minus[0], y: rail.minus[1] + 24, text: words.reversed }, layer)
  }
  const leads = [["minus", rail.minus, rail.first], ["plus", rail.plus, rail.last]]
    .map(([name, end, node]) => ({ key: `${moduleKey(module)}#${name}`, lines: [[...end, ...node]] }))
  return { items, rail, leads }
}

/** What stands beside a diode: its current where it conducts, else its name. */
function diodeText(part, k, known, on) {
  const order = known ? known.diodes.indexOf(k) : -1
  return on && order >= 0 ? amount(known.diode_current[order], "A") : `D${k + 1}`
}

/** How many lines farther out each label stands, so that neighbours too wide for their pitch do not run together. */
function stepsOf(rail, told, type) {
  const wide = told.map((text) => text.length * type * 0.6)
  const along = (part) => part.middle[rail.upright ? 1 : 0]
  const steps = told.map(() => 0)
  rail.parts.forEach((part, k) => {
    if (!k || rail.upright || !part.diode) return
    const apart = Math.abs(along(part) - along(rail.parts[k - 1]))
    if ((wide[k] + wide[k - 1]) / 2 + 5 > apart) steps[k] = steps[k - 1] ? 0 : 1
  })
  return steps
}

/** The outline of a substring whose current takes the way around it. */
function drawBypassed(layer, camera, module, part) {
  const cells = []
  for (let local = part.first; local < part.first + part.count; local++) cells.push(cellBox(module, local))
  const box = boxOf(cells)
  svg("rect", {
    class: "bypassed", x: box.left * camera.scale + camera.x - 1, y: box.top * camera.scale + camera.y - 1,
    width: box.width * camera.scale + 2, height: box.height * camera.scale + 2, rx: 3,
  }, layer)
}

function cellOf(row, content) {
  const cell = svg("g", { role: "gridcell", tabindex: -1, class: "rail-item" }, row)
  if (content) cell.appendChild(content)
  return cell
}

/** What flows through the leads: a substring's chains and its diode together. */
function terminalCurrent(detail, module) {
  const order = detail.diodes.indexOf(0)
  return chainCurrent(detail, module.shape.substrings[0]) + (order >= 0 ? detail.diode_current[order] : 0)
}

/** What flows through the chains of a substring, its diode left aside. */
function chainCurrent(detail, part) {
  let sum = 0
  let at = part.first
  for (const length of part.lengths) {
    sum += detail.current[at]
    at += length
  }
  return sum
}

function drawBox(layer, rail, words, lines) {
  const first = rail.first
  const last = rail.last
  const low = [Math.min(first[0], last[0]), Math.min(first[1], last[1])]
  const high = [Math.max(first[0], last[0]), Math.max(first[1], last[1])]
  // Room for the labels: below the diodes, or on the far side of an upright rail.
  const side = 33 + 17 * lines
  const [left, top, right, bottom] = !rail.upright ? (rail.side === "bottom" ? [16, 15, 16, side] : [16, side, 16, 15]) : rail.side === "left" ? [84, 16, 16, 16] : [16, 16, 84, 16]
  const box = { x: low[0] - left, y: low[1] - top, width: high[0] - low[0] + left + right, height: high[1] - low[1] + top + bottom, rx: 7 }
  svg("rect", { class: "box", ...box }, layer)
  if (rail.upright) {
    const x = rail.side === "left" ? box.x + 11 : box.x + box.width - 11
    svg("text", { class: "small faint", transform: `translate(${x} ${box.y + box.height / 2}) rotate(-90)`, text: words.box }, layer)
  } else if (!lines) svg("text", { class: "small faint start", x: box.x + 2, y: box.y - 9, text: words.box }, layer)
}

const HOT_C = 85 // HOT_K of pvsim/array/heat.py: from here on a temperature is known to tens alone

/** The text of a value in a cell: short enough for a small cell. */
export function valueText(quantity, value) {
  if (quantity === "temperature" && value >= HOT_C) return `≈${Math.round(value / 10) * 10}`
  const size = Math.abs(value)
  if (quantity === "irradiance") return value.toFixed(0)
  let decimals
  if (quantity === "voltage") decimals = size < 10 ? 2 : 1
  else if (quantity === "power") decimals = size < 10 ? 1 : 0
  else decimals = size < 100 ? 1 : 0
  const shown = value.toFixed(decimals)
  return written(Number(shown) === 0 ? (0).toFixed(decimals) : shown)
}

/** Whether the current runs from left to right through the cells of this module, as it is drawn. */
function runsAcross(shape) {
  return shape.cells.length > 4 && Math.abs(shape.cells[1] - shape.cells[5]) < Math.abs(shape.cells[0] - shape.cells[4])
}

const LEAST_LARGE_PX = 15 // what is read from the back of a room

/** A text in every cell large enough; returns them by cell number (from 0), or null when too small. */
export function drawValues(layer, view, module, only) {
  layer.replaceChildren()
  const { camera } = view
  const { shape } = module
  const widthPx = shape.cells[2] * camera.scale
  const heightPx = shape.cells[3] * camera.scale
  const type = view.typeScale
  const fitting = Math.min(15 * type, widthPx * 0.34, heightPx * 0.62)
  const sparse = type > 1 && fitting < LEAST_LARGE_PX
  if (fitting < 7.4 && !sparse) return null
  const font = sparse ? LEAST_LARGE_PX : fitting
  const numbered = widthPx >= 40 && heightPx >= 38
  const below = runsAcross(shape) ? 0.24 : 0 // a dash of current beside a figure reads as a minus
  const texts = Object.assign([], { font })
  for (let local = 0; local < module.cells; local++) {
    if (only && (local < only.first || local >= only.first + only.count)) continue
    const at = local * 4
    const x = (module.left + shape.cells[at] + shape.cells[at + 2] / 2) * camera.scale + camera.x
    const y = (module.top + shape.cells[at + 1] + shape.cells[at + 3] / 2) * camera.scale + camera.y
    texts[local] = svg("text", { class: "value", x: x.toFixed(1), y: (y + below * heightPx).toFixed(1), "font-size": font.toFixed(1) }, layer)
    texts[local].at_px = [x, y]
    texts[local].room = below ? 0 : heightPx // left to go down, to make way for a broken cell's sign
    if (numbered) {
      texts[local].number = svg("text", {
        class: "cell-number", x: (x - widthPx / 2 + 5).toFixed(1), y: (y - heightPx / 2 + 6).toFixed(1),
        "font-size": Math.min(10.5 * type, font * 0.72).toFixed(1), text: String(local + 1),
      }, layer)
    }
  }
  return texts
}

/** The middle one of the values of some cells. */
function usualOf(locals, view, module) {
  const sorted = locals.map((local) => view.value(module.cell + local)).sort((a, b) => a - b)
  return sorted[sorted.length >> 1]
}

/** Which cells show their figure, as sixty equal ones tell nothing: those that differ from most of their substring,
 *  the farthest off first, one of a substring that differs from most of the module, the cell in focus and the one
 *  pointed at; as far as none covers another. */
function telling(texts, view, module) {
  const said = (local) => valueText(view.quantity, view.value(module.cell + local))
  const listed = (first, count) => Array.from({ length: count }, (_, k) => first + k).filter((local) => texts[local])
  const pointed = [view.focus.cell ? view.focus.cell - 1 : -1, pointedAt(view, module)]
  const most = valueText(view.quantity, usualOf(listed(0, module.cells), view, module))
  const wanted = pointed.filter((local) => texts[local]).map((local) => [Infinity, local])
  for (const { first, count } of module.shape.substrings) {
    const locals = listed(first, count)
    if (!locals.length) continue
    const usual = usualOf(locals, view, module)
    const common = valueText(view.quantity, usual)
    for (const local of locals) {
      if (!pointed.includes(local) && said(local) !== common) wanted.push([Math.abs(view.value(module.cell + local) - usual), local])
    }
    const middle = locals.find((local, k) => k >= locals.length >> 1 && said(local) === common)
    if (common !== most && middle !== undefined) wanted.push([0, middle])
  }
  const shown = new Set()
  const boxes = []
  for (const [, local] of wanted.sort((a, b) => b[0] - a[0])) {
    const [x, y] = texts[local].at_px
    const half = said(local).length * texts.font * 0.33
    if (boxes.some((one) => Math.abs(one.y - y) < texts.font && Math.abs(one.x - x) < half + one.half)) continue
    boxes.push({ x, y, half })
    shown.add(local)
  }
  return shown
}

/** The cell under the pointer, by its number in this module from 0; -1 where it is elsewhere. */
function pointedAt(view, module) {
  const [string, number, inner] = (view.pointed ?? "").split("/")
  const here = Number(string) === module.string && Number(number) === module.number && /^\d+$/.test(inner ?? "")
  return here ? Number(inner) - 1 : -1
}

/** Write the values and choose their ink by the colour beneath. */
export function updateValues(texts, view, module) {
  if (!texts) return
  const { scale } = view.now
  const { colours, darkInk } = table(scale.kind, view.theme)
  const shown = telling(texts, view, module)
  for (let local = 0; local < texts.length; local++) {
    const text = texts[local]
    if (!text) continue
    text.style.display = shown.has(local) ? "" : "none"
    put(text, "dy", view.broken.has(module.cell + local) ? (text.room * 0.26).toFixed(1) : null)
    const value = view.value(module.cell + local)
    write(text, valueText(view.quantity, value))
    const at = shade(scale, value)
    const ink = darkInk[at] ? "dark" : "light"
    if (text.at !== at || text.theme !== view.theme) {
      text.at = at
      text.theme = view.theme
      text.style.stroke = colours[at] // lines of current pass behind the figures
    }
    if (text.ink !== ink) {
      text.ink = ink
      text.setAttribute("class", `value ${ink}`)
      if (text.number) text.number.setAttribute("class", `cell-number ${ink}`)
    }
  }
}
