// @ts-check
// What the colours of the cells mean: which quantity they show, and its scale.

import { html, plain, put } from "./dom.js"
import { gradient } from "./scales.js"

/**
 * The legend under the drawing: quantity, scale with ticks.
 * @param {Element} parent
 * @param {Roof.Words} words
 * @param {{ quantity(quantity: Roof.Quantity): void }} act
 * @returns {Roof.Legend}
 */
export function makeLegend(parent, words, act) {
  const foot = html("div", { class: "legend" }, parent)
  const choice = html("div", { class: "choice quantities", role: "group", "aria-label": words.quantity }, foot)
  /** @type {Roof.Legend["buttons"]} */
  const buttons = {}
  for (const [name, title] of words.quantities) {
    const button = html("button", { type: "button", "data-quantity": name, text: title }, choice)
    buttons[name] = /** @type {HTMLButtonElement} */ (button)
    button.addEventListener("click", () => act.quantity(name))
  }
  const scale = html("div", { class: "scale" }, foot)
  const ramp = html("div", { class: "ramp", "aria-hidden": "true" }, scale)
  const ticks = html("div", { class: "ticks" }, scale)
  return { buttons, ramp, ticks, last: "" }
}

/**
 * Bring the legend up to date.
 * @param {Roof.Legend} legend
 * @param {Roof.Store} view
 */
export function updateLegend(legend, view) {
  for (const [name, button] of Object.entries(legend.buttons)) {
    put(button, "aria-pressed", String(name === view.quantity))
    button.disabled = Boolean(view.now.kept_back) && name !== "irradiance"
  }
  const { scale } = view.now
  const key = `${scale.kind} ${view.theme} ${scale.low} ${scale.high} ${scale.unit}`
  if (key === legend.last) return
  legend.last = key
  legend.ramp.style.background = gradient(scale.kind, view.theme)
  legend.ticks.replaceChildren()
  scale.ticks.forEach((value, k) => {
    const last = k === scale.ticks.length - 1
    html("span", { text: last ? `${plain(value)} ${scale.unit}` : plain(value) }, legend.ticks)
  })
}
