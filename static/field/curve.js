// @ts-check
// The last curve that the tracer took: its points, and a press that lays it over the model.

import { el } from "../shared/elements.js"

/**
 * @param {Field.Words} words
 * @param {Field.Say} say
 */
export function makeCurve(words, say) {
  const drawn = el("div")
  const said = el("figcaption", { class: "small" })
  const about = el("p", { class: "quiet small" })
  const compare = el("button", { type: "button", class: "button button--edge", "data-act": "compare", onclick: () => say("compare") }, words.compare)
  const element = el("details", { class: "part", open: true, hidden: true },
    el("summary", { class: "caps" }, words.curve),
    el("figure", { class: "traced" }, drawn, said), about, compare)
  return {
    element,
    /** @param {Field.Curve | Record<string, never>} curve */
    show(curve) {
      if (!("figure" in curve)) return
      const taken = /** @type {Field.Curve} */ (curve)
      drawn.replaceChildren(el("div", { html: taken.figure }))    // made by pvsim.files.figure, all texts escaped
      said.textContent = `${taken.where}: ${taken.said}`
      about.textContent = taken.about
      compare.hidden = !taken.comparable
    },
  }
}
