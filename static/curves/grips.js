// @ts-check
// What takes hold of the point held, or of the cursor of the construction: a mouse anywhere in a figure, a finger
// round the point or along the cursor alone. One that begins elsewhere scrolls the page.

import { el } from "../shared/elements.js"
import { inside, nearestOn } from "./frame.js"

const HANDLE_PX = 24 // round the point held: what a finger hits

/** @typedef {{ left: number, top: number, width: number, height: number }} Area */

/**
 * Where a finger takes hold in a figure.
 * @param {Curves.Scene} scene
 * @param {"current" | "power"} kind
 * @returns {Area[]}
 */
export function areas(scene, kind) {
  const { shown: { view }, parts, held } = scene
  const frame = scene.frames[kind]
  if (!frame) return []
  const across = 2 * HANDLE_PX
  if (view !== "parts") {
    return held.map((one) => [frame.toX(one.V), frame.toY(kind === "current" ? one.I : one.P)]).filter(([x, y]) => inside(frame, x, y, 3))
      .map(([x, y]) => ({ left: x - HANDLE_PX, top: y - HANDLE_PX, width: across, height: across }))
  }
  if (!parts) return []
  return [parts.kind === "series"
    ? { left: frame.x, top: frame.toY(parts.at) - HANDLE_PX, width: frame.width, height: across }
    : { left: frame.toX(parts.at) - HANDLE_PX, top: frame.y, width: across, height: frame.height }]
}

/**
 * What the pointer asks for at a place of a figure, or null where no curve is near.
 * @param {Curves.Scene} scene
 * @param {"current" | "power"} kind
 * @param {{ x: number, y: number }} at in px of the stage
 * @returns {{ cursor: number } | { point: { V: number, I: number } } | null}
 */
export function wishAt({ shown, frames, curves }, kind, { x, y }) {
  const frame = frames[kind], points = curves[kind]
  if (!frame || !points) return null
  if (shown.view === "parts" && shown.parts) {
    const { kind: sum, least, most } = shown.parts
    return { cursor: Math.max(least, Math.min(most, sum === "series" ? frame.fromY(y) : frame.fromX(x))) }
  }
  const found = nearestOn(points, x, y)
  if (!found || !Number.isFinite(found.distance)) return null
  const { V, Y } = found
  return { point: { V, I: kind === "current" ? Y : V ? Y / V : 0 } }
}

/**
 * @param {HTMLElement} stage
 * @param {{ say: (what: string, value: unknown) => void, moved: () => void }} hand to the server, and to who draws
 */
export function makeGrips(stage, { say, moved }) {
  // Apart from what is drawn anew: a finger loses what is taken from under it.
  const element = el("div", { class: "holds", "aria-hidden": "true" })
  /** @type {Curves.Drag | null} */
  let drag = null // the point under the pointer, until the server has answered
  /** @type {Curves.Scene | null} */
  let seen = null

  /** The pointer moves the operating point along the curve, or the cursor across it.
   * @type {(event: PointerEvent, kind: "current" | "power") => void} */
  const begin = (event, kind) => {
    if (event.button || !seen) return
    const origin = stage.getBoundingClientRect()
    /** @param {PointerEvent} one */
    const place = (one) => ({ x: one.clientX - origin.left, y: one.clientY - origin.top })
    const { frames, curves } = seen
    if (seen.twin) {
      const { x, y } = place(event)
      /** @param {"current" | "power"} one */
      const far = (one) => nearestOn(curves[one] ?? [], x, y)?.distance ?? Infinity
      kind = far("current") <= far("power") ? "current" : "power"
    }
    const now = drag = /** @type {Curves.Drag} */ ({ held: true })
    stage.setPointerCapture(event.pointerId)
    say("stroke", "begin")
    /** @param {PointerEvent} one */
    const move = (one) => {
      const wish = wishAt({ .../** @type {Curves.Scene} */ (seen), frames, curves }, kind, place(one))
      if (!wish) return
      Object.assign(now, wish)
      for (const [what, value] of Object.entries(wish)) say(what, value)
      moved()
    }
    const stop = () => {
      stage.removeEventListener("pointermove", move)
      stage.removeEventListener("pointerup", stop)
      stage.removeEventListener("pointercancel", stop)
      now.held = false
      say("stroke", "end")
    }
    stage.addEventListener("pointermove", move)
    stage.addEventListener("pointerup", stop)
    stage.addEventListener("pointercancel", stop)
    move(event)
  }

  return {
    element, begin,
    get drag() { return drag },
    /** Nothing is asked for any more; whether nobody holds it. */
    letGo() {
      if (drag?.held) return false
      drag = null
      return true
    },
    /** Lay what a finger hits over the figures; with nothing where none is seen.
     * @param {Curves.Scene | null} scene */
    show(scene) {
      seen = scene
      const wanted = scene ? scene.visible.flatMap((kind) => kind === "difference" ? [] : areas(scene, kind).map((at) => ({ at, kind }))) : []
      while (element.children.length > wanted.length) element.lastElementChild?.remove()
      for (const [k, { at, kind }] of wanted.entries()) {
        const one = /** @type {HTMLElement} */ (element.children[k] ?? element.appendChild(handle()))
        one.dataset.kind = kind
        for (const name of /** @type {(keyof Area)[]} */ (["left", "top", "width", "height"])) one.style[name] = `${at[name]}px`
      }
    },
  }

  function handle() {
    const one = el("div", { class: "handle" })
    one.addEventListener("pointerdown", (event) => begin(event, /** @type {"current" | "power"} */ (one.dataset.kind)))
    return one
  }
}
