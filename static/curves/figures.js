// @ts-check
// The figures on the stage: which are seen and in what order, where their frames are, how they are dressed.

import { el } from "../shared/elements.js"
import { dressing, HIGH_PX, LOW_PX, restyle, sideNumbers } from "./dress.js"
import { frameBox, frameOf } from "./frame.js"

const TWIN_PX = 290 // below this height the two figures share one frame
/** @type {Curves.Kind[]} */
const KINDS = ["current", "power", "difference"]

/**
 * @param {Curves.Model} model
 * @param {Curves.View} view
 * @param {HTMLElement} ledger below them, which takes of their room
 * @param {() => void} moved is called when anything lies elsewhere or looks otherwise
 */
export function makeFigures(model, view, ledger, moved) {
  let { ids } = model
  const holders = Object.fromEntries(KINDS.map((kind) => [kind, el("div", { class: "figure", "data-figure": kind })]))
  const stage = el("div", { class: "stage" }, ...Object.values(holders))
  /** @type {Curves.Font} */
  let font = { family: "sans-serif", size: 12.5, weight: 600, k: 1 }
  let twin = false
  // Measuring makes the browser lay the whole page out, so it is done only when something has moved.
  let stale = true, height = 0
  /** @type {Record<string, Curves.Box | null>} */
  let boxes = {}
  let below = { y: 0, height: 0 }
  let style = "", dressed = ""

  const seat = () => {
    for (const kind of KINDS) {
      const id = ids.figures[kind]
      if (id) holders[kind].replaceChildren(model.get_child(kind))
      else holders[kind].hidden = true
    }
  }
  seat()
  // The difference comes when somebody first looks at it, and the others are seated anew with it.
  view.on_child_render("difference", () => {
    ids = model.ids
    seat()
    view.render_children()
  })

  /** @param {string | undefined} id */
  const find = (id) => id === undefined ? null : view.model.document?.get_model_by_id(id)
  /** @param {Curves.Quantity} quantity of the difference */
  const plots = (quantity) => KINDS.flatMap((name) => {
    const plot = find(ids.figures[name])
    return plot ? [{ name, kind: name === "difference" ? quantity : name, model: plot }] : []
  })

  const measure = () => {
    const origin = stage.getBoundingClientRect(), low = ledger.getBoundingClientRect()
    boxes = Object.fromEntries(KINDS.map((kind) => {
      const id = ids.figures[kind]
      return [kind, id === undefined || holders[kind].hidden ? null : frameBox(origin, id)]
    }))
    below = { y: low.top - origin.top, height: low.height }
    stale = KINDS.some((kind) => !holders[kind].hidden && !boxes[kind])
  }

  /** Two figures above each other where there is room, else both in one frame with an axis on either side.
   * @param {Curves.Shown} shown */
  const arrange = (shown) => {
    const low = height < TWIN_PX * font.k
    twin = low && shown.view === "curves"
    stage.classList.toggle("twin", twin)
    /** @type {Curves.Kind[]} */
    const visible = low && shown.view === "difference" ? ["difference"] : shown.figures
    const lowest = visible[visible.length - 1]
    for (const kind of KINDS) {
      const holder = holders[kind], at = visible.indexOf(kind)
      const place = `${at} ${kind === lowest} ${twin}`
      if (holder.dataset.place === place) continue
      holder.dataset.place = place
      holder.hidden = at < 0
      holder.style.order = String(at)
      holder.classList.toggle("lowest", kind === lowest)
      stale = true
    }
    dress(lowest, shown.quantity)
    return visible
  }

  /** @type {(lowest: Curves.Kind, quantity: Curves.Quantity) => void} */
  const dress = (lowest, quantity) => {
    const board = /** @type {HTMLElement | null} */ (stage.closest(".board"))
    if (!board?.isConnected) return
    const longest = Math.max(0, ...sideNumbers(plots(quantity)).map((text) => text.length))
    const wish = `${quantity} ${lowest} ${twin} ${longest}`
    if (style && wish === dressed) return
    dressed = wish
    const now = [dressing(board), wish, find(ids.figures.current) ? "there" : ""].join()
    if (now === style) return
    style = now
    stale = true
    font = restyle(plots(quantity), board, lowest, twin)
    stage.style.setProperty("--low", `${Math.round(LOW_PX * font.k)}px`)
    stage.style.setProperty("--high", `${Math.round(HIGH_PX * font.k)}px`)
  }

  const shifted = () => { stale = true; moved() }
  const changed = () => { style = ""; shifted() }
  const sizes = new ResizeObserver(changed)    // a larger page may have larger type
  for (const one of [stage, ledger, ...Object.values(holders)]) sizes.observe(one)
  const looks = new MutationObserver(changed)
  looks.observe(document.documentElement, { attributes: true })
  document.fonts?.ready.then(changed)
  /** @type {(() => void)[]} */
  const laid = []
  const follow = () => {
    for (const { model: plot } of plots("power")) {
      for (const property of ["inner_width", "inner_height"]) {
        const { change } = plot.properties[property]
        change.connect(shifted)
        laid.push(() => change.disconnect(shifted))
      }
    }
    shifted()
  }
  model.on("after_layout", shifted)
  model.on("after_render", () => { follow(); setTimeout(shifted, 60) })

  return {
    stage,
    get font() { return font },
    /** Where everything lies, or null while nothing is seen.
     * @param {Curves.Shown} shown
     * @returns {Curves.Sight | null} */
    layOut(shown) {
      if (stale) height = stage.clientHeight
      if (!height || stage.hidden) return null
      const visible = arrange(shown)
      if (stale) measure()
      const { V, I, P, D } = shown.axes
      const spans = { current: I, power: P, difference: D }
      /** @type {Curves.Sight["frames"]} */
      const frames = {}
      for (const kind of visible) {
        const box = boxes[kind]
        if (box) frames[kind] = frameOf(box, { x: V, y: spans[kind] })
      }
      return { visible, frames, twin, font, ledger: below }
    },
    /** The columns of numbers that the figures are drawn from.
     * @param {"now" | "before" | "difference"} name */
    source: (name) => find(ids.sources[name]),
    close() {
      sizes.disconnect()
      looks.disconnect()
      laid.forEach((stop) => stop())
    },
  }
}
