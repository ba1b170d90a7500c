// @ts-check
// Straight lines over the figures that lead to an axis: the hair at what is held, the line of what holds it,
// the cursor of the construction. They are drawn from the same places that labels keep off.

import { inside, lineIn } from "./frame.js"
import { svg } from "./labels.js"

const LOAD_STEPS = 60

/** @typedef {"current" | "power"} Kind */

/**
 * The vertical hair at the voltage that is held, through all figures: where, and from where to where.
 * @param {Curves.Scene} scene
 */
function hairOf({ visible, frames, held, shown }) {
  if (held.length !== 1 || shown.view === "parts") return null
  const [{ V, I, P }] = held
  const values = { current: I, power: P, difference: 0 }
  const there = visible.flatMap((kind) => {
    const frame = frames[kind]
    return frame ? [{ frame, y: Math.max(frame.y, frame.toY(values[kind])) }] : []
  })
  const last = there.at(-1)?.frame
  if (!last) return null
  const x = last.toX(V), top = Math.min(...there.map((one) => one.y)), bottom = last.y + last.height
  return x >= last.x && x <= last.x + last.width ? { x, top, bottom } : null
}

/**
 * The level hair, from the axis of the current to the point held.
 * @type {(scene: Curves.Scene, kind: Curves.Kind) => number[][] | null}
 */
function levelOf({ frames, held, shown }, kind) {
  const frame = frames[kind]
  if (!frame || kind !== "current" || held.length !== 1 || shown.view === "parts") return null
  const x = frame.toX(held[0].V), y = frame.toY(held[0].I)
  return inside(frame, x, y, 3) ? [[frame.x, y], [x, y]] : null
}

/** What holds the operating point: a vertical, a horizontal or the line of a resistance.
 * @type {(frame: Curves.Frame, kind: Kind, load: Curves.Shown["load"]) => number[][]} */
function loadOf(frame, kind, load) {
  if (!load) return []
  const x = frame.toX(load.value), y = frame.toY(load.value)
  if (load.kind === "voltage") return [[x, frame.y], [x, frame.y + frame.height]]
  if (load.kind === "current" && kind === "current") return [[frame.x, y], [frame.x + frame.width, y]]
  const [left, right] = [frame.fromX(frame.x), frame.fromX(frame.x + frame.width)]
  return [...Array(LOAD_STEPS + 1).keys()].map((k) => {
    const V = left + ((right - left) * k) / LOAD_STEPS
    const Y = load.kind === "current" ? load.value * V : kind === "current" ? V / load.value : (V * V) / load.value
    return [frame.toX(V), frame.toY(Y)]
  })
}

/** Where the construction is cut: at a current through all parts, or at a voltage across them.
 * @type {(frame: Curves.Frame, parts: Curves.Parts) => number[][]} */
function cursorOf(frame, parts) {
  const series = parts.kind === "series"
  const at = series ? frame.toY(parts.at) : frame.toX(parts.at)
  return series ? [[frame.x, at], [frame.x + frame.width, at]] : [[at, frame.y], [at, frame.y + frame.height]]
}

/**
 * What of them lies in one figure, each as points a few px apart: what labels keep away from.
 * @type {(scene: Curves.Scene, kind: Curves.Kind) => number[][][]}
 */
export function guidesIn(scene, kind) {
  const { frames: { [kind]: frame }, shown, parts } = scene
  if (!frame) return []
  const cut = shown.view === "parts"
  const hair = hairOf(scene), level = levelOf(scene, kind)
  return [
    ...(hair ? [[[hair.x, Math.max(hair.top, frame.y)], [hair.x, Math.min(hair.bottom, frame.y + frame.height)]]] : []),
    ...(level ? [level] : []),
    ...(kind === "difference" || cut ? [] : [loadOf(frame, kind, shown.load)]),
    ...(cut && parts && kind === "current" ? [cursorOf(frame, parts)] : []),
  ].flatMap((line) => lineIn(line, frame))
}

/** @param {number[][]} line */
const along = (line) => line.map(([x, y], k) => `${k ? "L" : "M"}${x.toFixed(1)} ${y.toFixed(1)}`).join("")

/** The line of what holds the operating point, in one figure.
 * @type {(layer: Element, frame: Curves.Frame, kind: Kind, load: Curves.Shown["load"], clip: string) => void} */
export function drawLoad(layer, frame, kind, load, clip) {
  if (load) svg("path", { d: along(loadOf(frame, kind, load)), class: "load", "clip-path": `url(#${clip})` }, layer)
}

/** One hair through all figures at the voltage that is held, and one to its current; below everything else.
 * @type {(overlay: Element, scene: Curves.Scene) => void} */
export function drawHairs(overlay, scene) {
  const hair = hairOf(scene), level = scene.visible.includes("current") && levelOf(scene, "current")
  const lines = [...(hair ? [[[hair.x, hair.top], [hair.x, hair.bottom]]] : []), ...(level ? [level] : [])]
  for (const line of lines) svg("path", { d: along(line), class: "hair" }, overlay)
}

/** @type {(layer: Element, frame: Curves.Frame, parts: Curves.Parts) => void} */
export function drawCut(layer, frame, parts) {
  svg("path", { d: along(cursorOf(frame, parts)), class: "hair" }, layer)
}
