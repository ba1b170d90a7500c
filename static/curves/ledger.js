// @ts-check
// The construction of a curve: parts' voltages end to end on one line, and each in a row of its own.

import { drawCut } from "./guides.js"
import { drawText, labelSize, svg } from "./labels.js"

/** @type {(defs: Element, id: string, colour: string) => void} */
function hatch(defs, id, colour) {
  const pattern = svg("pattern", { id, width: 5, height: 5, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" }, defs)
  svg("rect", { width: 5, height: 5, fill: "var(--sheet)" }, pattern)
  svg("rect", { width: 2.4, height: 5, fill: colour }, pattern)
}

/**
 * The cursor in the I-V figure and the segments on it.
 * @param {Element} layer
 * @param {Curves.Frame} frame
 * @param {Curves.Parts} parts
 */
export function drawCursor(layer, frame, parts) {
  const series = parts.kind === "series"
  const at = series ? frame.toY(parts.at) : frame.toX(parts.at)
  drawCut(layer, frame, parts)
  const to = series ? frame.toX : frame.toY
  const low = series ? frame.x : frame.y, high = low + (series ? frame.width : frame.height)
  /** @param {number} px */
  const keep = (px) => Math.max(low, Math.min(high, px))
  for (const [k, row] of parts.rows.entries()) {
    const a = keep(to(row.from)), b = keep(to(row.to))
    const shift = row.to < row.from ? 6 : 0
    const d = series ? `M${a} ${at + shift}H${b}` : `M${at + shift} ${a}V${b}`
    svg("path", { d, class: "segment", stroke: row.colour, "stroke-dasharray": shift ? "3 2" : "none" }, layer)
    const end = series ? `M${b} ${at - 6}v12` : `M${at - 6} ${b}h12`
    if (k < parts.rows.length - 1) svg("path", { d: end, class: "tick" }, layer)
  }
  const sum = keep(to(parts.total))
  const [x, y] = series ? [sum, at] : [at, sum]
  svg("circle", { cx: x, cy: y, r: 5, class: "point current" }, layer)
}

/**
 * One row a part, from the running sum to the next.
 * @param {Element} layer
 * @param {Element} defs
 * @param {Curves.Box} box
 * @param {(value: number) => number} axis maps the summed quantity to px
 * @param {Curves.Parts} parts
 * @param {Curves.Font} font
 */
export function drawLedger(layer, defs, box, axis, parts, font) {
  const count = parts.rows.length + 1
  const pitch = Math.min(26 * font.k, (box.height - 4) / count)
  const thick = Math.max(6, Math.min(17 * font.k, pitch * 0.72))
  /** @param {number} px */
  const clampX = (px) => Math.max(box.x, Math.min(box.x + box.width, px))
  /** @type {(k: number, entry: Pick<Curves.Row, "from" | "to" | "label"> & { short?: string }, colour: string, strong: boolean) => { y: number, b: number }} */
  const row = (k, entry, colour, strong) => {
    const y = box.y + 4 + pitch * k
    const a = clampX(axis(entry.from)), b = clampX(axis(entry.to))
    const left = Math.min(a, b), width = Math.max(1.5, Math.abs(b - a))
    let fill = colour
    if (entry.to < entry.from) { hatch(defs, `hatch-${k}`, colour); fill = `url(#hatch-${k})` }
    svg("rect", { x: left, y, width, height: thick, fill, stroke: colour, "stroke-width": 1, rx: 1.5 }, layer)
    let size = Math.min(font.size, pitch * 0.8)
    const right = left + width + 6
    const room = Math.max(box.x + box.width - right, width - 10, left - 6 - box.x)
    /** @type {Curves.Words} */
    let text = [[entry.label, ""]]
    let need = labelSize(text, font, size).width
    if (need > room && entry.short) {    // the bar itself shows the product
      text = [[entry.short, ""]]
      need = labelSize(text, font, size).width
      if (need > room) size *= Math.max(0.88, room / need - 0.01)
      need = labelSize(text, font, size).width
    }
    const plain = entry.to >= entry.from
    let x = right, style = strong ? "strong of-current" : ""
    if (right + need > box.x + box.width) {
      const inside = width > need + 10
      x = inside ? left + width - need - 5 : left - 6 - need
      if (!inside && x < box.x) x = box.x + box.width - need
      if (inside && plain) style = "within"
    }
    if (style !== "within" && x < left + width && x + need > left) {
      svg("rect", { x: x - 3, y: y + 1.5, width: need + 6, height: thick - 3, rx: 3, class: "plate" }, layer)
    }
    drawText(layer, text, { x, y: y + thick / 2 + size * 0.35, class: style, style: `font-size:${size}px` })
    return { y, b }
  }
  /** @type {{ y: number, b: number } | null} */
  let last = null
  for (const [k, entry] of parts.rows.entries()) {
    const here = row(k, entry, entry.colour, false)
    if (last) svg("path", { d: `M${last.b} ${last.y + thick}V${here.y}`, class: "join" }, layer)
    last = here
  }
  const sum = row(parts.rows.length, { from: 0, to: parts.total, label: parts.totalLabel }, "var(--curve-i)", true)
  if (last) svg("path", { d: `M${last.b} ${last.y + thick}V${sum.y}`, class: "join" }, layer)
}
