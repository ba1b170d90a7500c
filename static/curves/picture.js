// @ts-check
// All that lies over the figures, put together: titles, curves' points with their labels, the construction.

import { pixels } from "./frame.js"
import { drawHairs, drawLoad } from "./guides.js"
import { drawText, labelSize, svg } from "./labels.js"
import { drawCursor, drawLedger } from "./ledger.js"
import { drawDifference, drawFigure, drawTitle, spots } from "./overlay.js"

/**
 * What is to be drawn: what the server sent, where it lies, and the point under the pointer in place of the one held.
 * @param {Curves.Shown} shown
 * @param {Curves.Sight} sight
 * @param {(name: "now" | "before" | "difference") => any} source
 * @param {Curves.Drag | null} drag
 * @param {Curves.DeskWords} words
 * @returns {Curves.Scene}
 */
export function sceneOf(shown, sight, source, drag, words) {
  /** @type {Curves.Scene["curves"]} */
  const curves = {}
  /** @type {Curves.Scene["befores"]} */
  const befores = {}
  const { frames } = sight
  for (const [kind, column] of /** @type {["current" | "power", string][]} */ ([["current", "I"], ["power", "P"]])) {
    const frame = frames[kind]
    if (!frame) continue
    curves[kind] = pixels(source("now"), column, frame)
    if (shown.compared) befores[kind] = pixels(source("before"), column, frame)
  }
  if (frames.difference) curves.difference = pixels(source("difference"), "D", frames.difference)
  const { point, cursor } = drag ?? {}
  const held = point ? [{ ...point, P: point.V * point.I }] : shown.held
  const parts = shown.parts && cursor !== undefined ? { ...shown.parts, at: cursor, rows: [] } : shown.parts
  return { ...sight, shown, words, curves, befores, held, parts, moved: !!point }
}

/**
 * The overlay of a scene; without what can be gripped.
 * @param {Curves.Scene} scene
 */
export function drawPicture(scene) {
  const { shown, visible, frames, twin, font, words } = scene
  const overlay = svg("g")
  const defs = svg("defs", {}, overlay)
  /** @type {Curves.Box[]} */
  const taken = []
  const parts = shown.view === "parts"
  const titles = titlesOf(scene)
  if (!parts) drawHairs(overlay, scene)
  if (twin) for (const kind of visible) if (kind !== "difference") taken.push(...spots(scene, kind))
  for (const kind of visible) {
    const frame = frames[kind]
    if (!frame) continue
    const id = `clip-${kind}`
    svg("rect", { x: frame.x, y: frame.y, width: frame.width, height: frame.height }, svg("clipPath", { id }, defs))
    drawTitle(overlay, frame, titles[kind], kind === "difference" ? shown.quantity : kind, twin && kind === "power")
    if (kind === "difference") drawDifference(overlay, frame, scene)
    else {
      if (!parts) drawLoad(overlay, frame, kind, shown.load, id)
      drawFigure(overlay, kind, parts && shown.parts ? { ...scene, held: [] } : scene, twin ? taken : [])
    }
  }
  const first = frames[visible[0]], last = frames[visible[visible.length - 1]]
  if (first && parts && shown.parts) drawParts(overlay, defs, first, scene)
  if (last) {
    const low = (parts ? 27 : 29) * font.k
    drawText(overlay, [[words.voltage_axis, ""]], { x: last.x + last.width, y: last.y + last.height + low, class: "axis", "text-anchor": "end" })
  }
  return overlay
}

/** The figures' titles; in one frame they stand on one line, and are short where that is too short for both.
 * @param {Curves.Scene} scene */
function titlesOf({ shown: { titles, brief }, frames: { current }, twin, font }) {
  if (!twin || !current) return titles
  const [left, right] = [titles.current, titles.power].map((one) => labelSize([[one, ""]], font, font.size).width)
  return left + right + 2 * font.size > current.width ? { ...titles, ...brief } : titles
}

/** The cursor of the construction in the first figure, and the parts below it.
 * @type {(overlay: SVGElement, defs: SVGElement, first: Curves.Frame, scene: Curves.Scene) => void} */
function drawParts(overlay, defs, first, { shown, parts, ledger, font }) {
  const whole = shown.parts
  if (!whole || !parts) return
  drawCursor(overlay, first, parts)
  const area = { x: first.x, y: ledger.y + 22 * font.k, width: first.width, height: ledger.height - 24 * font.k }
  const axis = whole.kind === "series" ? first.toX : (/** @type {number} */ value) => first.x + (value / shown.axes.I[1]) * first.width
  const need = labelSize([[whole.title, ""]], { ...font, weight: 400 }, font.size).width
  const size = Math.min(font.size, (font.size * first.width) / need) // smaller where the region would cut it off
  drawText(overlay, [[whole.title, ""]], { x: first.x, y: area.y - 6, class: "axis", style: `font-size:${size}px` })
  svg("path", { d: `M${axis(0)} ${area.y}V${area.y + area.height}`, class: "leader" }, overlay)
  drawLedger(overlay, defs, area, axis, whole, font)
  if (whole.kind === "series") svg("path", { d: `M${axis(whole.total)} ${first.toY(parts.at)}V${area.y}`, class: "hair" }, overlay)
}
