// @ts-check
// What was measured: the last reading at a module or string, and where a cloth lies, drawn over the parts.

import { boxOf } from "./boxes.js"
import { fitted, svg } from "./dom.js"
import { screenBox } from "./framing.js"
import { isFar } from "./levels.js"
import { cellBox, moduleAt } from "./plan.js"

const WIDE_PX = 7.2 // of a letter, about; the pill is as wide as its text
const ROOM_PX = 30 // narrower modules have no room for one

/**
 * @param {SVGElement} layer
 * @param {Roof.Store} d
 */
export function drawMeasured(layer, d) {
  layer.replaceChildren()
  const { read = [], cloth } = d.now
  if (cloth) drawCloth(layer, d, cloth)
  if (!isFar(d.level)) return
  for (const [place, text, outdated] of read) {
    const module = moduleAt(d.plan, place)
    if (!module || (d.level === "string" && place.string !== (d.focus.string || 1))) continue
    const { left, top, width, height } = screenBox(d, module)
    if (width < ROOM_PX) continue
    const long = Math.min(text.length * WIDE_PX * d.typeScale + 8, Math.max(width, ROOM_PX) - 3) // neighbours stay apart
    const high = 17 * d.typeScale
    const group = svg("g", { class: outdated ? "reading reading--before" : "reading" }, layer)
    const x = left + width / 2, y = top + height / 2
    svg("rect", { x: (x - long / 2).toFixed(1), y: (y - high / 2).toFixed(1), width: long.toFixed(1), height: high.toFixed(1), rx: 4 }, group)
    const label = svg("text", { x: x.toFixed(1), y: (y + 4.5 * d.typeScale).toFixed(1), "text-anchor": "middle", text }, group)
    if (text.length * WIDE_PX * d.typeScale + 8 > long) {
      label.setAttribute("textLength", (long - 6).toFixed(1))
      label.setAttribute("lengthAdjust", "spacingAndGlyphs")
    }
  }
}

/**
 * The last reading at a module in words, and whether the bench was changed since; "" where there is none.
 * @param {Roof.Store} d
 * @param {Roof.Module} module
 */
export function measuredLabel(d, module) {
  const found = (d.now.read ?? []).find(([place]) => place.string === module.string && place.module === module.number)
  if (!found) return ""
  return fitted(found[2] ? d.words.measured_before : d.words.measured, { value: found[1] })
}

/**
 * @param {SVGElement} layer
 * @param {Roof.Store} d
 * @param {Roof.Place} place
 */
function drawCloth(layer, d, place) {
  const module = moduleAt(d.plan, place)
  if (!module) return
  const part = place.substring ? module.shape.substrings[place.substring - 1] : null
  const box = place.cell
    ? cellBox(module, place.cell - 1)
    : part
      ? boxOf(Array.from({ length: part.count }, (_, k) => cellBox(module, part.first + k)))
      : module
  const { left, top, width, height } = screenBox(d, box)
  svg("rect", { class: "cloth", x: left.toFixed(1), y: top.toFixed(1), width: width.toFixed(1), height: height.toFixed(1), rx: 2 }, layer)
}
