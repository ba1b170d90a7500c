// @ts-check
// What is seen of every array from afar: diodes at work, what is broken of modules, how long a metre is.

import { boxOf } from "./boxes.js"
import { number, svg, tenth } from "./dom.js"
import { screenBox } from "./framing.js"
import { cellBox } from "./plan.js"
import { badge, diode } from "./symbols.js"

const LEAST_PX = 9 // a narrower module shows none
/** How far a diode stands off the edge that it is wired along.
 * @type {Record<string, [number, number] | undefined>} */
const INSET = { top: [0, 6], bottom: [0, -6], left: [6, 0], right: [-6, 0] }

/**
 * Conducting and faulty diodes and broken modules, large enough to be seen from the last row.
 * @param {Element} layer
 * @param {Roof.Store} d
 * @param {Roof.Plan["strings"]} strings
 */
export function drawSigns(layer, d, strings) {
  const { camera, now } = d
  const size = strings[0].modules[0].width * camera.scale
  if (size < LEAST_PX) return
  const group = svg("g", { class: "signs", "aria-hidden": "true" }, layer)
  const on = new Set(now.diodes.on)
  const faulty = new Map(now.faults.diode.map((fault) => [fault[0], fault[1]]))
  /** @type {Map<number, string[]>} */
  const broken = new Map()
  for (const [at, kind] of now.faults.module) broken.set(at, [...(broken.get(at) ?? []), kind])
  for (const module of strings.flatMap((string) => string.modules)) {
    module.shape.substrings.forEach((part, k) => {
      const at = module.diode + k
      if (on.has(at) || faulty.has(at)) drawBypass(group, d, module, part, { on: on.has(at), fault: faulty.get(at) ?? "" })
    })
    const box = screenBox(d, module)
    const s = Math.max(0.6, Math.min(1.1, size / 70))
    broken.get(module.index)?.forEach((kind, k) => {
      const x = box.left + 11 * s + k * 19 * s
      const y = box.top + box.height - 11 * s
      badge(group, 0, 0, kind).setAttribute("transform", `translate(${tenth(x)} ${tenth(y)}) scale(${s.toFixed(2)})`)
    })
  }
}

/**
 * A bypass diode where its substring ends, and the substring that it takes out of the way.
 * @param {Element} group
 * @param {Roof.Store} d
 * @param {Roof.Module} module
 * @param {Roof.Part} part
 * @param {{ on: boolean, fault: string }} look
 */
function drawBypass(group, d, module, part, look) {
  const cells = Array.from({ length: part.count }, (_, k) => cellBox(module, part.first + k))
  const { left, top, width, height } = screenBox(d, boxOf(cells))
  const scale = Math.max(0.55, Math.min(1, Math.min(width, height) / 34))
  const whole = screenBox(d, module)
  const [a, b] = [part.a, part.b].map(([x, y]) => [whole.left + x * d.camera.scale, whole.top + y * d.camera.scale])
  const inset = INSET[module.shape.rail] ?? [0, 0]
  const x = tenth((a[0] + b[0]) / 2 + inset[0] * scale)
  const y = tenth((a[1] + b[1]) / 2 + inset[1] * scale)
  const angle = (Math.atan2(b[1] - a[1], b[0] - a[0]) * 180) / Math.PI
  if (look.on) {
    svg("rect", { class: "bypassed", x: tenth(left), y: tenth(top), width: tenth(width), height: tenth(height), rx: 2 }, group)
  }
  svg("circle", { class: `halo${look.on ? " on" : ""}`, cx: x, cy: y, r: tenth(12.5 * scale) }, group)
  diode(group, x, y, tenth(angle), look, tenth(scale * 0.9 * 10) / 10)
}

/**
 * A scale bar of a round length.
 * @param {Element} layer
 * @param {Roof.Store} d
 */
export function drawRule(layer, d) {
  const { camera, size } = d
  const metre = 1000 * camera.scale
  const length = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50].find((m) => m * metre >= 34) ?? 100
  const x = size.width - 14
  const y = size.height - 5
  const group = svg("g", { class: "rule", "aria-hidden": "true" }, layer)
  svg("path", { d: `M${tenth(x - length * metre)} ${y - 4}v4H${x}v-4` }, group)
  svg("text", { class: "small end", x: tenth(x - length * metre - 5), y: y - 5, "text-anchor": "end", text: `${number(length, 1)} m` }, group)
}
