// @ts-check
// A number in a panel: typed, stepped by arrow keys, or drawn with a slider.

import { el, withKeys } from "../shared/elements.js"
import { leading, writable } from "../shared/number.js"

const STAGED = ["strings", "modules"] // these wait for the press of a button

/**
 * One step on from what stands in a field, within its bounds; NaN where no number stands there.
 * @param {string} text
 * @param {number} way 1 or -1
 * @param {Pick<Bar.NumberSpec, "least" | "most" | "step">} spec
 */
export const stepped = (text, way, { least, most, step }) =>
  Number(Math.min(most, Math.max(least, leading(text) + way * step)).toFixed(6))

/**
 * @param {Bar.NumberSpec} spec
 * @param {Bar.Hand} hand
 * @returns {Bar.Field}
 */
export function numberField(spec, hand) {
  const id = `field-${spec.id}`
  const wrong = el("p", { class: "wrong", id: `${id}-wrong`, role: "alert" })
  const input = el("input", {
    class: "input number", id, type: "text", inputmode: "decimal", autocomplete: "off", size: 7,
    "aria-describedby": wrong.id,
  })
  const slider = spec.slider ? sliderOf(spec, input, hand) : null
  const staged = !slider && STAGED.includes(spec.id)

  /** @param {string | number} [value] */
  const commit = (value = input.value) => {
    if (staged || input.value === input.dataset.was) return
    input.dataset.was = input.value
    hand.send(spec.id, value)
  }
  input.addEventListener("change", () => commit())
  input.addEventListener("keydown", event => {
    if (event.key === "Enter") commit()
    const way = { ArrowUp: 1, ArrowDown: -1 }[event.key]
    if (!way) return
    event.preventDefault()
    const value = stepped(input.value, way, spec)
    if (!Number.isFinite(value)) return
    input.value = writable(value)
    commit(value)
  })

  const line = el("div", { class: "line" }, slider, input, el("span", { class: "unit" }, spec.unit))
  return {
    row: el("div", { class: slider ? "field" : "field field--number" }, el("label", { for: id }, spec.label), line, wrong),
    read: () => input.value,
    wrong(text) {
      wrong.textContent = text
      if (text) input.setAttribute("aria-invalid", "true")
      else input.removeAttribute("aria-invalid")
    },
    set(value) {
      const held = withKeys(input)
      if (held === input && input.getAttribute("aria-invalid")) return
      if (slider && held !== slider) slider.value = String(leading(value))
      // What waits for a press of its button stays as it was typed.
      if (input.dataset.was !== value || (!staged && held !== input)) input.value = input.dataset.was = value
    },
  }
}

/**
 * All that one grip of it moves is one step to undo.
 * @param {Bar.NumberSpec} spec
 * @param {HTMLInputElement} input shows where it stands
 * @param {Bar.Hand} hand
 */
function sliderOf(spec, input, hand) {
  const slider = el("input", {
    type: "range", min: spec.least, max: spec.most, step: spec.step,
    "aria-label": `${spec.label}${spec.unit ? `, ${spec.unit}` : ""}`,
  })
  let stroke = false
  slider.addEventListener("input", () => {
    if (!stroke) { stroke = true; hand.send("stroke", true) }
    input.value = input.dataset.was = writable(slider.value)
    hand.send(spec.id, Number(slider.value))
  })
  slider.addEventListener("change", () => { stroke = false; hand.send(spec.id, Number(slider.value)); hand.send("stroke", false) })
  return slider
}
