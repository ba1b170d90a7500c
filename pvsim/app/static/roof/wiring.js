// The array from afar: strings between their leads, trackers, current on its way, diodes at work.

import { amount, number, svg } from "./dom.js"
import { badge, chevron, cut, diode, fuse } from "./symbols.js"

export const GUTTER = 82

/** Which end of a module's top edge its minus lead leaves from. */
function leadSpots(module) {
  const first = module.shape.substrings[0].a
  const last = module.shape.substrings[module.shape.substrings.length - 1].b
  const minusLeft = first[0] !== last[0] ? first[0] < last[0] : first[1] > last[1]
  return minusLeft ? [0.3, 0.7] : [0.7, 0.3]
}

/** Draw all there is between and around the modules; returns the boxes of what can be focused. */
export function drawWiring(layer, view) {
  layer.replaceChildren()
  const { plan, camera, now, level } = view
  const { scene } = plan
  const X = (mm) => mm * camera.scale + camera.x
  const Y = (mm) => mm * camera.scale + camera.y
  const chosen = level === "string" ? view.focus.string || 1 : 0
  const strings = chosen ? [plan.strings[chosen - 1]] : plan.strings
  const boxes = new Map()
  const most = Math.max(0.05, ...now.strings.current.map(Math.abs))
  const lane = Math.min(6, Math.max(2.5, (rowGap(plan) * camera.scale) / 2.2))
  const back = svg("g", { class: "wires" }, layer)
  const leads = []

  for (const string of strings) {
    const faults = new Set((now.faults.string || []).filter((f) => f[0] === string.index).map((f) => f[1]))
    const { path, arrows, minusY, plusY } = stringPath(string, X, Y, lane)
    const current = now.strings.current[string.index] ?? 0
    const dead = Math.abs(current) < 1e-3
    svg("path", { class: "wire", d: path }, back)
    if (!dead) {
      const width = 1.2 + 2.4 * (Math.abs(current) / most)
      svg("path", {
        class: `flow${current < 0 ? " backward" : ""}`, d: path, "stroke-width": width.toFixed(1),
      }, back)
      svg("path", { class: "arrows", d: arrows(current < 0) }, back)
    }
    leads.push({ string, minusY, plusY })
    const head = drawHead(layer, view, string, { minusY, plusY, X, Y, faults, current })
    boxes.set(`${string.number}`, head)
    for (const module of string.modules) {
      boxes.set(`${string.number}/${module.number}`, {
        left: X(module.left), top: Y(module.top), width: module.width * camera.scale, height: module.height * camera.scale,
      })
    }
  }
  drawTrackers(layer, view, leads)
  if (scene.wiring === "cross-tied" && !chosen) drawTies(back, plan, X, Y, lane)
  drawBadges(layer, view, X, Y, strings)
  if (level === "string") drawFigures(layer, view, strings[0], X, Y)
  else drawNumbers(layer, plan, X, Y, camera)
  return boxes
}

function rowGap(plan) {
  const rows = plan.rows.filter(Boolean)
  if (rows.length < 2) return 1000
  return Math.max(20, rows[1][0].top - rows[0][0].top - rows[0][0].height)
}

/** The way through a string: out of the gutter at minus, through its modules, back at plus. */
function stringPath(string, X, Y, lane) {
  const r = (v) => Math.round(v * 10) / 10
  const modules = string.modules
  const first = modules[0]
  const minusY = Y(first.top) - lane
  const plusY = Y(first.top) - 2 * lane
  let path = `M${GUTTER - 38} ${r(minusY)}`
  const links = []
  let above = Y(first.top) - lane
  let x = 0
  modules.forEach((module, k) => {
    const [minus, plus] = leadSpots(module).map((share) => X(module.left + share * module.width))
    const top = Y(module.top)
    const mine = top - lane
    if (k && module.row !== modules[k - 1].row) {
      const right = X(modules[k - 1].left + modules[k - 1].width) + 5
      path += `H${r(right)}V${r(mine - lane)}H${r(X(module.left) - 5)}V${r(mine)}`
      above = mine
    }
    path += `H${r(minus)}V${r(top + 2)}M${r(plus)} ${r(top + 2)}V${r(mine)}`
    if (k) links.push([(x + minus) / 2, mine])
    x = plus
    above = mine
  })
  const last = modules[modules.length - 1]
  const home = last.row === first.row ? plusY : Y(last.top) - 2 * lane
  path += `V${r(home)}H${r(last.row === first.row ? GUTTER - 44 : GUTTER - 30)}`
  if (last.row !== first.row) path += `V${r(plusY)}H${GUTTER - 44}`
  links.push([(X(first.left) + GUTTER) / 2, minusY])
  const arrows = (backward) => links.map(([ax, ay]) => chevron(ax, ay, backward ? -1 : 1, 0, 3.2)).join("")
  return { path, arrows, minusY, plusY, above }
}

function drawHead(layer, view, string, { minusY, plusY, X, Y, faults, current }) {
  const { plan } = view
  const last = string.modules[string.modules.length - 1]
  const top = Y(string.modules[0].top)
  const bottom = Y(last.top + last.height)
  const middle = (top + bottom) / 2
  const x = GUTTER - 21
  const roomy = bottom - top > 44
  const group = svg("g", { class: "head", "aria-hidden": "true" }, layer)
  svg("circle", { class: "chip", cx: x, cy: roomy ? middle - 9 : middle, r: Math.min(12, Math.max(7, (bottom - top) / 2.4)) }, group)
  svg("text", { class: "chip-text", x, y: roomy ? middle - 9 : middle, text: String(string.number) }, group)
  if (roomy) svg("text", { class: "small", x, y: middle + 15, text: amount(current, "A") }, group)
  const details = plan.scene.strings[string.index] || {}
  const farX = Math.max(GUTTER + 2, (GUTTER + X(string.modules[0].left)) / 2)
  if (details.fuse) fuse(group, GUTTER - 14, plusY, faults.has("fuse-blown"))
  if (details.blocking) diode(group, farX, plusY, 180, { on: false, fault: "" }, 0.55)
  if (faults.has("cable-open")) cut(group, GUTTER - 26, minusY)
  if (faults.has("modules-too-few") || faults.has("modules-too-many")) {
    svg("text", { class: "small alert", x, y: middle + 29, text: faults.has("modules-too-few") ? "−" : "+" }, group)
  }
  return { left: GUTTER - 36, top, width: 34, height: bottom - top }
}

function drawTrackers(layer, view, leads) {
  const { plan, now, words, level } = view
  const one = plan.scene.tracking === "one"
  const group = svg("g", { class: "trackers", "aria-hidden": "true" }, layer)
  const spans = one ? [leads] : leads.map((lead) => [lead])
  spans.forEach((span) => {
    const top = span[0].plusY - 5
    const end = span[span.length - 1].minusY + 5
    const bottom = Math.max(end, top + 66)
    svg("rect", { class: "tracker", x: 6, y: top, width: 21, height: bottom - top, rx: 4 }, group)
    const power = one && level === "array" ? now.trackers.reduce((sum, t) => sum + t[1], 0) : (now.trackers[one ? 0 : span[0].string.index] ?? [0, 0])[1]
    const label = svg("text", { class: "small upright", transform: `translate(16.5 ${(top + bottom) / 2}) rotate(-90)` }, group)
    label.textContent = bottom - top > 120 ? `${one ? words.tracker : `${words.tracker} ${span[0].string.number}`} · ${amount(power, "W")}` : amount(power, "W")
    svg("path", {
      class: "wire plus",
      d: `M38 ${span[0].plusY}V${span[span.length - 1].plusY}` + span.map((l) => `M38 ${l.plusY}H${GUTTER - 44}`).join("") + `M27 ${span[0].plusY}H38`,
    }, group)
    svg("path", {
      class: "wire",
      d: `M44 ${span[0].minusY}V${span[span.length - 1].minusY}M27 ${span[0].minusY}H44`,
    }, group)
    if (span.length > 1) {
      for (const l of span) {
        svg("circle", { class: "knot", cx: 38, cy: l.plusY, r: 2.2 }, group)
        svg("circle", { class: "knot", cx: 44, cy: l.minusY, r: 2.2 }, group)
      }
    }
  })
}

function drawTies(layer, plan, X, Y, lane) {
  const first = plan.strings[0].modules
  const last = plan.strings[plan.strings.length - 1].modules
  for (let k = 1; k < first.length && k < last.length; k++) {
    const x = X(first[k].left) - 2
    svg("path", { class: "wire tie", d: `M${x} ${Y(first[k].top) - lane}V${Y(last[k].top) - lane}` }, layer)
    for (const string of plan.strings) {
      if (string.modules[k]) svg("circle", { class: "knot", cx: x, cy: Y(string.modules[k].top) - lane, r: 2.2 }, layer)
    }
  }
}

/** Conducting and faulty diodes and broken modules, large enough to be seen from the last row. */
function drawBadges(layer, view, X, Y, strings) {
  const { plan, camera, now } = view
  const size = strings[0].modules[0].width * camera.scale
  if (size < 9) return
  const group = svg("g", { class: "signs", "aria-hidden": "true" }, layer)
  const on = new Set(now.diodes.on)
  const faulty = new Map((now.faults.diode || []).map((f) => [f[0], f[1]]))
  const broken = new Map()
  for (const [at, kind] of now.faults.module || []) broken.set(at, [...(broken.get(at) || []), kind])
  for (const string of strings) {
    for (const module of string.modules) {
      module.shape.substrings.forEach((part, k) => {
        const at = module.diode + k
        if (!on.has(at) && !faulty.has(at)) return
        const a = [X(module.left + part.a[0]), Y(module.top + part.a[1])]
        const b = [X(module.left + part.b[0]), Y(module.top + part.b[1])]
        drawBypass(group, a, b, { on: on.has(at), fault: faulty.get(at) || "" }, size, module, Y)
      })
      ;(broken.get(module.index) || []).forEach((kind, k) => {
        const s = Math.max(0.55, Math.min(1, size / 80))
        const sign = badge(group, 0, 0, kind)
        sign.setAttribute("transform", `translate(${X(module.left) + 11 * s + k * 19 * s} ${Y(module.top + module.height) - 11 * s}) scale(${s})`)
      })
    }
  }
}

function drawBypass(group, a, b, look, size, module, Y) {
  const reach = Math.hypot(b[0] - a[0], b[1] - a[1])
  const scale = Math.max(0.42, Math.min(1, reach / 34))
  const inset = module.shape.rail === "top" ? 5 * scale : module.shape.rail === "bottom" ? -5 * scale : 0
  const x = (a[0] + b[0]) / 2
  const y = (a[1] + b[1]) / 2 + inset
  const angle = (Math.atan2(b[1] - a[1], b[0] - a[0]) * 180) / Math.PI
  if (look.on) svg("path", { class: "around", d: `M${a[0]} ${a[1] + inset}L${b[0]} ${b[1] + inset}` }, group)
  svg("circle", { class: `halo${look.on ? " on" : ""}`, cx: x, cy: y, r: 11.5 * scale }, group)
  diode(group, x, y, angle, look, scale * 0.92)
}

function drawFigures(layer, view, string, X, Y) {
  const { now, words } = view
  const group = svg("g", { class: "figures", "aria-hidden": "true" }, layer)
  const wide = string.modules[0].width * view.camera.scale
  for (const module of string.modules) {
    const x = X(module.left + module.width / 2)
    const y = Y(module.top + module.height)
    svg("text", { class: "label", x, y: y + 15, text: `${module.number}` }, group)
    if (wide < 40) continue
    svg("text", { class: "small", x, y: y + 31, text: amount(now.modules.voltage[module.index], "V") }, group)
    svg("text", { class: "small", x, y: y + 46, text: amount(now.modules.power[module.index], "W") }, group)
  }
  void words
}

/** Module numbers over the first row, as over the columns of a table. */
function drawNumbers(layer, plan, X, Y, camera) {
  const row = plan.rows[0]
  if (!row || row[0].width * camera.scale < 16) return
  const group = svg("g", { class: "figures", "aria-hidden": "true" }, layer)
  for (const module of row) {
    svg("text", { class: "small", x: X(module.left + module.width / 2), y: Y(module.top) - 20, text: number(module.number) }, group)
  }
}
