// @ts-check
// What lies over one figure's canvas: key points, labels, the operating point, what holds it.

import { inside, levelAt, obstacles } from "./frame.js"
import { drawText, labelSize, placeLabels, svg } from "./labels.js"

/** @typedef {"current" | "power"} Kind */
/** @typedef {Curves.Label & { style: string }} Styled */

/** @type {(kind: Kind) => "I" | "P"} */
const columnOf = (kind) => kind === "current" ? "I" : "P"

/**
 * Where rings and dots of a figure come to lie, for labels of another one in the same frame.
 * @param {Curves.Scene} scene
 * @param {Kind} kind
 * @returns {Curves.Box[]}
 */
export function spots({ frames, shown, held, font }, kind) {
  const frame = frames[kind], value = columnOf(kind)
  if (!frame) return []
  /** @type {(one: Curves.Point, size: number) => Curves.Box} */
  const box = (one, size) => ({ x: frame.toX(one.V) - size / 2, y: frame.toY(one[value]) - size / 2, width: size, height: size })
  const size = font.k ** 0.5
  return [...shown.marks.map((one) => box(one, 10 * size)), ...held.map((one) => box(one, 16 * size + 6))]
}

/** @type {(layer: Element, frame: Curves.Frame, title: string, kind: string, right: boolean) => void} */
export function drawTitle(layer, frame, title, kind, right) {
  const x = right ? frame.x + frame.width : frame.x
  drawText(layer, [[title, ""]], { x, y: frame.y - 6, class: `of-${kind}`, "text-anchor": right ? "end" : "start" })
}

/** A thin line to a point whose label had to go far.
 * @type {(layer: Element, point: Styled, box: Curves.Box, font: Curves.Font) => void} */
function drawLeader(layer, point, box, font) {
  const x = Math.max(box.x, Math.min(box.x + box.width, point.x))
  const y = Math.max(box.y + 2, Math.min(box.y + box.height - 2, point.y))
  const length = Math.hypot(x - point.x, y - point.y)
  const free = point.style === "strong" ? 10 * font.k ** 0.5 : 5
  if (length < 18 * font.k) return
  const t = free / length
  svg("path", { d: `M${point.x + t * (x - point.x)} ${point.y + t * (y - point.y)}L${x} ${y}`, class: "leader" }, layer)
}

/**
 * Key points with their labels, and the operating point, of one figure.
 * @param {Element} layer
 * @param {Kind} kind
 * @param {Curves.Scene} scene
 * @param {Curves.Box[]} taken boxes to keep free; those of the labels are put to them
 * @param {[number, number][]} more points that labels keep away from
 */
export function drawFigure(layer, kind, scene, taken, more) {
  const { twin, font } = scene
  const frame = /** @type {Curves.Frame} */ (scene.frames[kind])
  const value = columnOf(kind)
  const near = obstacles(scene.curves[kind] ?? [], frame)
  const before = scene.befores[kind]
  const soft = before ? obstacles(before, frame).filter((_, k) => k % 2 === 0) : []
  const labels = drawMarks(layer, frame, kind, scene, taken)
  const lines = levelAt(frame, 0)
  const { load } = scene.shown
  if (load?.kind === "voltage") for (let at = frame.y; at < frame.y + frame.height; at += 5) lines.push([frame.toX(load.value), at])
  // Isc and Voc have few places, so they choose first; then the points held.
  labels.ends.push(...drawHeld(layer, frame, kind, scene, taken, lines))
  const wishes = [...labels.ends, ...labels.others]
  const { beforeAt } = scene.shown
  if (beforeAt && before && !(twin && kind === "power")) {
    const x = frame.toX(beforeAt.V), y = frame.toY(beforeAt[value])
    if (inside(frame, x, y)) wishes.push({ x, y, parts: [[scene.words.before, ""]], style: "of-before" })
  }
  for (const label of wishes) label.far = twin && label.style !== "of-before"
  for (const label of placeLabels(wishes, frame, [...near, ...soft, ...lines, ...more], taken, font, font.size)) {
    const { box } = label
    if (label.style !== "of-before") drawLeader(layer, label, box, font)
    drawText(layer, label.parts, { x: box.x + 1, y: box.y + box.height * 0.8, class: label.style })
  }
}

/** The key points: gives back the labels of those at the ends of the curve, and of the others.
 * @type {(layer: Element, frame: Curves.Frame, kind: Kind, scene: Curves.Scene, taken: Curves.Box[]) => { ends: Styled[], others: Styled[] }} */
function drawMarks(layer, frame, kind, { shown, held, twin, font }, taken) {
  const value = columnOf(kind)
  /** @type {{ ends: Styled[], others: Styled[] }} */
  const labels = { ends: [], others: [] }
  for (const mark of shown.marks) {
    const x = frame.toX(mark.V), y = frame.toY(mark[value])
    const end = mark.kind === "isc" || mark.kind === "voc"
    if (!inside(frame, x, y) || (kind === "power" && end)) continue
    const hollow = mark.kind !== "mpp"
    svg("circle", { cx: x, cy: y, r: (hollow ? 3.2 : 4.2) * font.k ** 0.5, class: `point ${kind}${hollow ? " hollow" : ""}` }, layer)
    taken.push({ x: x - 5, y: y - 5, width: 10, height: 10 })
    // In one frame the power's label says enough of the maximum, and none where the point held is beside it.
    const beside = held.some((one) => Math.hypot(frame.toX(one.V) - x, frame.toY(one[value]) - y) < 30 && one.label[kind])
    const parts = mark.label[kind]
    if (!parts || (twin && mark.kind === "mpp" && (kind === "current" || beside))) continue
    labels[end ? "ends" : "others"].push({ x, y, parts, prefer: mark.prefer, must: mark.must && !twin, style: `of-${kind}` })
  }
  return labels
}

/** The points held; gives back their labels, and puts what those keep away from to `lines`.
 * @type {(layer: Element, frame: Curves.Frame, kind: Kind, scene: Curves.Scene, taken: Curves.Box[], lines: [number, number][]) => Styled[]} */
function drawHeld(layer, frame, kind, { held, twin, font }, taken, lines) {
  const value = columnOf(kind)
  /** @type {Styled[]} */
  const labels = []
  const alone = held.length === 1
  for (const grip of held) {
    const x = frame.toX(grip.V), y = frame.toY(grip[value])
    const parts = grip.label[kind]
    if (!inside(frame, x, y, 3)) {
      if (!parts) continue
      const { at, right } = drawBeyond(layer, frame, { x, y }, taken)
      labels.unshift({ ...at, parts, must: true, style: "strong", prefer: right ? [7, 3, 1, 5, 4] : [6, 2, 0, 5, 4] })
      continue
    }
    if (alone) for (let at = y; at < frame.y + frame.height; at += 5) lines.push([x, at])
    if (kind === "current" && alone) {
      svg("path", { d: `M${frame.x} ${y}H${x}`, class: "hair" }, layer)
      for (let at = frame.x; at < x; at += 5) lines.push([at, y])
    }
    const r = 8 * font.k ** 0.5
    svg("circle", { cx: x, cy: y, r, class: "grip-under" }, layer)
    svg("circle", { cx: x, cy: y, r, class: "grip" }, layer)
    taken.push({ x: x - r - 2, y: y - r - 2, width: 2 * r + 4, height: 2 * r + 4 })
    // Points of several trackers are named in turn; in one frame the power's label says enough of each.
    // Where one small frame has no room for it at all, the line below the slider says it.
    // No power beside the voltage and no current on the same axis says nothing more.
    const none = twin && kind === "power" && Math.abs(grip.P) < 1e-3 * frame.fromY(frame.y) && alone
    const said = !none && (alone || !twin || kind === "power")
    if (parts && said) labels.unshift({ x, y, parts, must: !twin, style: "strong", prefer: [2, 3, 0, 1, 5, 4, 6, 7] })
  }
  return labels
}

/** A point outside the axes: an arrow at the edge that says where it is, with its label on the inner side.
 * @type {(layer: Element, frame: Curves.Frame, point: { x: number, y: number }, taken: Curves.Box[]) => { at: { x: number, y: number }, right: boolean }} */
function drawBeyond(layer, frame, { x, y }, taken) {
  const right = frame.x + frame.width, bottom = frame.y + frame.height
  const at = { x: Math.max(frame.x, Math.min(right, x)), y: Math.max(frame.y, Math.min(bottom, y)) }
  const turn = (Math.atan2(y - at.y, x - at.x) * 180) / Math.PI
  svg("path", { d: "M0 0L-9 -5V5Z", class: "beyond", transform: `translate(${at.x} ${at.y}) rotate(${turn})` }, layer)
  taken.push({ x: at.x - 10, y: at.y - 10, width: 20, height: 20 })
  return { at, right: Math.abs(turn) <= 90 }
}

/** What holds the operating point: a vertical, a horizontal or the line of a resistance.
 * @type {(layer: Element, frame: Curves.Frame, kind: Kind, load: Curves.Shown["load"], clip: string) => void} */
export function drawLoad(layer, frame, kind, load, clip) {
  if (!load) return
  const [left, right] = [frame.fromX(frame.x), frame.fromX(frame.x + frame.width)]
  let d = ""
  if (load.kind === "voltage") d = `M${frame.toX(load.value)} ${frame.y}V${frame.y + frame.height}`
  else if (load.kind === "current" && kind === "current") d = `M${frame.x} ${frame.toY(load.value)}H${frame.x + frame.width}`
  else {
    for (let k = 0; k <= 60; k++) {
      const V = left + ((right - left) * k) / 60
      const Y = load.kind === "current" ? load.value * V : kind === "current" ? V / load.value : (V * V) / load.value
      d += `${k ? "L" : "M"}${frame.toX(V).toFixed(1)} ${frame.toY(Y).toFixed(1)}`
    }
  }
  svg("path", { d, class: "load", "clip-path": `url(#${clip})` }, layer)
}

/** The magnified difference: its factor, large, and its greatest value.
 * @type {(layer: Element, frame: Curves.Frame, scene: Curves.Scene) => void} */
export function drawDifference(layer, frame, { shown, curves, words, font }) {
  const { factor, peak, magnified, quantity } = shown.difference
  if (!factor) return
  const large = labelSize([[factor, ""]], font, font.size * (magnified ? 1.5 : 1))
  const corner = { x: frame.x + frame.width - large.width - 4, y: frame.y + frame.height - large.height - 2, ...large }
  const y = corner.y + large.height * 0.8
  /** @type {Curves.Box[]} */
  const taken = []
  drawText(layer, [[factor, ""]], { x: corner.x, y, class: magnified ? "factor axis" : "axis" })
  if (magnified) {
    const word = labelSize([[words.magnified, ""]], font, font.size)
    taken.push({ x: corner.x - 8 - word.width, y: corner.y, width: word.width + 8, height: corner.height })
    drawText(layer, [[words.magnified, ""]], { x: corner.x - 5, y, class: "axis", "text-anchor": "end" })
  }
  taken.push(corner)
  if (!peak) return
  const at = { x: frame.toX(peak.V), y: frame.toY(peak.value) }
  if (!inside(frame, at.x, at.y)) return
  svg("circle", { cx: at.x, cy: at.y, r: 4, class: `point ${quantity}` }, layer)
  taken.push({ x: at.x - 5, y: at.y - 5, width: 10, height: 10 })
  const points = obstacles(curves.difference ?? [], frame)
  for (const { parts, box } of placeLabels([{ ...at, parts: peak.label, must: true }], frame, points, taken, font, font.size)) {
    drawText(layer, parts, { x: box.x + 1, y: box.y + box.height * 0.8, class: `of-${quantity}` })
  }
}
