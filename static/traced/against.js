// @ts-check
// What a curve is held against: the part, the light and temperature of the measurement, and a procedure.

import { el } from "../shared/elements.js"

const UNITS = { irradiance: "W/m²", temperature: "°C", to_irradiance: "W/m²", to_temperature: "°C" }
const PROCEDURES = ["none", "first", "second"]

/**
 * @param {Traced.Dialog} given
 * @param {(values: Record<string, string>) => void} lay
 */
export function makeAgainst({ words, labels }, lay) {
  const ready = el("p", { role: "status" })
  const part = el("select", { class: "input", id: "traced-part", "aria-describedby": "traced-part-hint traced-part-wrong" })
  const partWrong = el("p", { class: "wrong", id: "traced-part-wrong" })
  const fields = Object.entries(UNITS).map(([name, unit]) => numberField(name, labels[name], unit))
  const [light, warmth, toLight, toWarmth] = fields
  const radios = PROCEDURES.map(value => el("input", { type: "radio", name: "traced-procedure", value, onchange: () => follow() }))
  const target = el("div", { class: "traced-pair" }, toLight.row, toWarmth.row)
  const press = el("button", { type: "submit", class: "button button--main" }, words.lay)
  const chosen = () => radios.find(one => one.checked)?.value ?? "none"
  const follow = () => { target.hidden = chosen() === "none" }
  const read = () => ({ part: part.value, procedure: chosen(), ...Object.fromEntries(fields.map(one => [one.name, one.input.value])) })
  const element = el("form", { class: "traced-against", novalidate: true, hidden: true, "aria-labelledby": "traced-against", onsubmit: (/** @type {Event} */ event) => { event.preventDefault(); lay(read()) } },
    el("h3", { id: "traced-against" }, words.where), ready,
    el("div", { class: "traced-field" }, el("label", { for: "traced-part" }, words.part), part,
      el("p", { class: "quiet small", id: "traced-part-hint" }, words.part_hint), partWrong),
    el("div", { class: "traced-pair" }, light.row, warmth.row),
    el("fieldset", { class: "traced-ways" }, el("legend", {}, words.procedure),
      ...radios.map(radio => el("label", { class: "traced-check" }, radio, el("span", {}, words[`procedure_${radio.value}`])))),
    target,
    el("div", { class: "traced-onward" }, press))
  radios[2].checked = true
  follow()
  let touched = false
  target.addEventListener("input", () => { touched = true })

  return {
    element,
    /** What the bench is now.
     * @param {Traced.Bench} bench */
    bench(bench) {
      part.replaceChildren(...bench.parts.map(([value, label]) => el("option", { value }, label)))
      part.value = bench.part
      if (touched) return
      toLight.input.value = bench.to_irradiance
      toWarmth.input.value = bench.to_temperature
    },
    /** What the file says of the measurement; of what it does not say another file said nothing either.
     * @param {Traced.Conditions} found
     * @param {boolean} fresh whether it is another file */
    fill({ irradiance, temperature }, fresh) {
      if (irradiance || fresh) light.input.value = irradiance
      if (temperature || fresh) warmth.input.value = temperature
    },
    /** @param {string | null} text what the curve is; nothing while no columns are confirmed */
    offer(text) {
      element.hidden = text === null
      ready.textContent = text ?? ""
      if (text === null) return
      const empty = [light, warmth].find(one => !one.input.value)
      const next = empty?.input ?? press
      next.focus()
      element.scrollIntoView({ block: "nearest" })
    },
    /** What is wrong, each at its field; the first of them gets the keys.
     * @param {Traced.Problem[]} problems */
    judge(problems) {
      for (const one of fields) one.wrong(problems.find(({ field }) => field === one.name)?.text ?? "")
      partWrong.textContent = problems.find(({ field }) => field === "part")?.text ?? ""
      fields.find(one => problems.some(({ field }) => field === one.name))?.input.focus()
    },
  }
}

/** @type {(name: string, label: string, unit: string) => { name: string, row: HTMLElement, input: HTMLInputElement, wrong(text: string): void }} */
function numberField(name, label, unit) {
  const id = `traced-${name}`
  const wrong = el("p", { class: "wrong", id: `${id}-wrong` })
  const input = el("input", { class: "input number", id, type: "text", autocomplete: "off", spellcheck: "false", "aria-label": `${label}, ${unit}`, "aria-describedby": wrong.id })
  return {
    name, input,
    row: el("div", { class: "traced-field" }, el("label", { for: id }, label),
      el("div", { class: "traced-line" }, input, el("span", { class: "quiet", "aria-hidden": "true" }, unit)), wrong),
    wrong(text) {
      wrong.textContent = text
      if (text) input.setAttribute("aria-invalid", "true")
      else input.removeAttribute("aria-invalid")
    },
  }
}
