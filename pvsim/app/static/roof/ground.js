// What lies under the modules, and the patterns that mark them.

import { svg } from "./dom.js"
import { draw } from "./stage.js"

export function drawGround(d) {
  const { box } = d.plan
  const margin = 900
  d.layers.ground.replaceChildren()
  const [x, y, w, h] = [box.left - margin, box.top - margin * 0.8, box.width + 2 * margin, box.height + 1.6 * margin]
  svg("rect", { class: "deck", x, y, width: w, height: h, rx: 30 }, d.layers.ground)
  svg("rect", { class: "seams", x, y, width: w, height: h, rx: 30 }, d.layers.ground)
  svg("path", { class: "ridge", d: `M${x} ${y + 60}H${x + w}M${x} ${y + 110}H${x + w}` }, d.layers.ground)
  svg("path", { class: "gutter-line", d: `M${x} ${y + h - 70}H${x + w}` }, d.layers.ground)
}

export function drawPatterns(d, defs) {
  const pattern = (id, size, draw, angle = 0) => {
    const one = svg("pattern", { id, width: size, height: size, patternUnits: "userSpaceOnUse", patternTransform: `rotate(${angle})` }, defs)
    draw(d, one)
  }
  for (const [tail, name] of [["", ""], ["-dark", " dark"]]) {
    pattern(`hatch${tail}`, 34, (p) => svg("rect", { class: `hatch-line${name}`, width: 11, height: 34 }, p), 45)
    pattern(`veil${tail}`, 30, (p) => {
      svg("circle", { class: `veil-dot${name}`, cx: 7.5, cy: 7.5, r: 4.6 }, p)
      svg("circle", { class: `veil-dot${name}`, cx: 22.5, cy: 22.5, r: 4.6 }, p)
    })
  }
  pattern("seams", 500, (p) => svg("rect", { class: "seam", width: 14, height: 500 }, p))
}
