// @ts-check
// What lies over one figure's canvas: key points, labels, the operating point, what holds it.

import { inside, levelAt, lineIn } from "./frame.js"
import { guidesIn } from "./guides.js"
import { drawText, labelSize, placeLabels, svg } from "./labels.js"

const RING_PX = 8 // round a point held

/** @typedef {"current" | "power"} Kind */
/** @typedef {Curves.Label & { role: string }} Wish */

/** @type {(kind: Kind) => "I" | "P"} */
const columnOf = (kind) => kind === "current" ? "I" : "P"

/** How much larger points are where type is: less than the type itself.
 * @param {Curves.Font} font */
const growth = (font) => font.k ** 0.5

/** @type {(x: number, y: number, half: number) => Curves.Box} */
const square = (x, y, half) => ({ x: x - half, y: y - half, width: 2 * half, height: 2 * half })

/**
 * Where points and rings of a figure come to lie, for labels of another one in the same frame.
 * @param {Curves.Scene} scene
 * @param {Kind} kind
 * @returns {Curves.Box[]}
 */
export function spots({ frames, shown, held, font }, kind) {
  const frame = frames[kind]
  if (!frame) return []
  const points = shown.named[kind]?.points ?? []
  return [
    ...points.map((one) => spot(frame, one)),
    ...held.map((one) => square(frame.toX(one.V), frame.toY(one[columnOf(kind)]), RING_PX * growth(font) + 3)),
  ]
}

/** What a point takes of the frame, with its rim; as the distances of labels it does not grow with the type.
 * @type {(frame: Curves.Frame, point: Curves.Dot) => Curves.Box} */
const spot = (frame, [x, y, radius]) => square(frame.toX(x), frame.toY(y), radius + 0.75)

/** @type {(layer: Element, frame: Curves.Frame, title: string, kind: string, right: boolean) => void} */
export function drawTitle(layer, frame, title, kind, right) {
  const x = right ? frame.x + frame.width : frame.x
  drawText(layer, [[title, ""]], { x, y: frame.y - 6, class: `of-${kind}`, "text-anchor": right ? "end" : "start" })
}

/** A thin line to a point whose label had to go far.
 * @type {(layer: Element, point: Wish, box: Curves.Box, font: Curves.Font) => void} */
function drawLeader(layer, point, box, font) {
  const x = Math.max(box.x, Math.min(box.x + box.width, point.x))
  const y = Math.max(box.y + 2, Math.min(box.y + box.height - 2, point.y))
  const length = Math.hypot(x - point.x, y - point.y)
  const free = point.role === "held" ? 10 * growth(font) : 5
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
 */
export function drawFigure(layer, kind, scene, taken) {
  const frame = /** @type {Curves.Frame} */ (scene.frames[kind])
  /** @type {Kind} */
  const other = kind === "power" ? "current" : "power"
  const before = lineIn(scene.befores[kind] ?? [], frame).map((line) => line.filter((_, k) => k % 2 === 0))
  const own = linesOf(scene, kind), beside = scene.twin ? linesOf(scene, other) : { whole: [], guides: [] }
  drawPoints(layer, frame, kind, kind, scene, taken)
  drawHeld(layer, frame, kind, scene, taken)
  drawLabels(layer, frame, kind, scene, { whole: [...own.whole, ...before, ...beside.whole], guides: [...own.guides, ...beside.guides] }, taken)
}

/** What labels keep away from in a figure: its curve, the axis at zero, straight lines that lead to axes.
 * @type {(scene: Curves.Scene, kind: Curves.Kind) => Curves.Lines} */
function linesOf(scene, kind) {
  const frame = scene.frames[kind]
  const whole = frame ? [...lineIn(scene.curves[kind] ?? [], frame), ...levelAt(frame, 0)] : []
  return { whole, guides: guidesIn(scene, kind) }
}

/** The points of a figure that have no handle.
 * @type {(layer: Element, frame: Curves.Frame, kind: Curves.Kind, role: string, scene: Curves.Scene, taken: Curves.Box[]) => void} */
function drawPoints(layer, frame, kind, role, { shown, font }, taken) {
  for (const point of shown.named[kind]?.points ?? []) {
    const [x, y, radius, hollow] = point
    const cx = frame.toX(x), cy = frame.toY(y)
    if (!inside(frame, cx, cy)) continue
    svg("circle", { cx, cy, r: radius * growth(font), class: `point ${role}${hollow ? " hollow" : ""}` }, layer)
    taken.push(spot(frame, point))
  }
}

/** The labels of a figure, as many as find a place. Where two figures share one frame none stands on a curve.
 * @type {(layer: Element, frame: Curves.Frame, kind: Curves.Kind, scene: Curves.Scene, lines: Curves.Lines, taken: Curves.Box[]) => void} */
function drawLabels(layer, frame, kind, { shown, twin, font, moved }, lines, taken) {
  /** @type {Wish[]} */
  const wishes = []
  for (const { x, y, text, symbol, role, prefer, must, alone } of shown.named[kind]?.labels ?? []) {
    const at = { x: frame.toX(x), y: frame.toY(y) }
    if (!inside(frame, at.x, at.y) || (twin && alone) || (moved && role === "held")) continue
    /** @type {Curves.Words} */
    const parts = symbol ? [[symbol[0], ""], [symbol[1], "sub"], [` ${text}`, ""]] : [[text, ""]]
    wishes.push({ ...at, parts, prefer, must: must && !twin, far: twin && role !== "before", role })
  }
  for (const label of placeLabels(wishes, frame, lines, taken, font, font.size)) {
    const { box } = label
    if (label.role !== "before") drawLeader(layer, label, box, font)
    drawText(layer, label.parts, { x: box.x + 1, y: box.y + box.height * 0.8, class: `of-${label.role}` })
  }
}

/** The points held; puts what labels keep away from to `taken`.
 * @type {(layer: Element, frame: Curves.Frame, kind: Kind, scene: Curves.Scene, taken: Curves.Box[]) => void} */
function drawHeld(layer, frame, kind, { held, font, moved }, taken) {
  for (const one of held) {
    const x = frame.toX(one.V), y = frame.toY(one[columnOf(kind)])
    if (!inside(frame, x, y, 3)) {
      if (!moved) drawBeyond(layer, frame, { x, y }, taken)
      continue
    }
    const r = RING_PX * growth(font)
    svg("circle", { cx: x, cy: y, r, class: "grip-under" }, layer)
    svg("circle", { cx: x, cy: y, r, class: "grip" }, layer)
    taken.push(square(x, y, r + 2))
  }
}

/** A point outside the axes: an arrow at the edge that says where it is.
 * @type {(layer: Element, frame: Curves.Frame, point: { x: number, y: number }, taken: Curves.Box[]) => void} */
function drawBeyond(layer, frame, { x, y }, taken) {
  const right = frame.x + frame.width, bottom = frame.y + frame.height
  const at = { x: Math.max(frame.x, Math.min(right, x)), y: Math.max(frame.y, Math.min(bottom, y)) }
  const turn = (Math.atan2(y - at.y, x - at.x) * 180) / Math.PI
  svg("path", { d: "M0 0L-9 -5V5Z", class: "beyond", transform: `translate(${at.x} ${at.y}) rotate(${turn})` }, layer)
  taken.push(square(at.x, at.y, 10))
}

/** The magnified difference: its factor, large, and its greatest value.
 * @type {(layer: Element, frame: Curves.Frame, scene: Curves.Scene) => void} */
export function drawDifference(layer, frame, scene) {
  const { shown, words, font } = scene
  const { factor, magnified, quantity } = shown.difference
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
  drawPoints(layer, frame, "difference", quantity, scene, taken)
  drawLabels(layer, frame, "difference", scene, linesOf(scene, "difference"), taken)
}
