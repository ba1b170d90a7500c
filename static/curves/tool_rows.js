// @ts-check
// What is chosen above the figures: the level, the view, and what that view can do.

import { el } from "../shared/elements.js"
import { makeChoices } from "./choices.js"

/**
 * @param {Curves.DeskWords} words
 * @param {(what: string, value: unknown) => void} say
 */
export function makeToolRows(words, say) {
  let reversed = false, fitted = false
  /** @type {(label: string, press: () => void) => HTMLButtonElement} */
  const tool = (label, press) => el("button", { type: "button", class: "tool", onclick: press }, label)
  /** @type {(label: string, kind: string, what: string) => ReturnType<typeof makeChoices>} */
  const choices = (label, kind, what) => makeChoices(label, kind, (key) => say(what, key))
  const levels = choices(words.level, "levels", "level")
  const views = choices(words.view, "views", "view")
  const quantity = choices(words.quantity, "quantities", "quantity")
  const stages = choices(words.stages, "stages", "stage")
  const reverse = tool(words.reverse, () => say("reverse", !reversed))
  reverse.title = words.reverse_title
  const fit = tool(words.fit, () => say("fit", !fitted))
  const bar = el("div", { class: "bar" }, views, el("div", { class: "tools" }, quantity, stages, reverse, fit))

  /** @type {(element: HTMLElement, seen: boolean) => void} */
  const display = (element, seen) => { element.style.display = seen ? "" : "none" }
  return {
    levels, bar,
    /** @param {Curves.Shown} shown */
    show(shown) {
      const { view, parts, offer } = shown
      reversed = shown.reverse
      fitted = shown.fitted
      const several = view === "parts" && parts !== null && parts.stages.length > 1
      levels.show(shown.levels, shown.level)
      views.show(words.views, view)
      quantity.hidden = view !== "difference"
      display(quantity, !quantity.hidden)
      if (!quantity.hidden) quantity.show(words.quantities, shown.quantity)
      display(stages, several)
      if (several) stages.show(parts.stages, parts.stage)
      reverse.setAttribute("aria-pressed", String(reversed))
      display(reverse, view !== "difference" && !several)
      display(fit, !several)
      fit.setAttribute("aria-pressed", String(fitted))
      fit.classList.toggle("offer", offer && !fitted)
      fit.title = fitted ? words.fitted_title : words.fit_title
    },
  }
}
