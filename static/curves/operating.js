// @ts-check
// The operating point by slider and field: at what the array is held, and what that comes to.

import { el } from "../shared/elements.js"
import { makeChoices } from "./choices.js"

const REST_MS = 700 // arrow keys that follow each other sooner belong together
const MOVING = ["ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown", "PageUp", "PageDown", "Home", "End"]

/**
 * @param {Curves.DeskWords} words
 * @param {{ say: (what: string, value: unknown) => void, busy: () => boolean }} to the server, and whether it has yet to answer
 */
export function makeOperating(words, { say, busy }) {
  const modes = makeChoices(words.held, "modes", (kind) => say("operation", kind))
  const entry = el("input", { type: "text", inputmode: "decimal", autocomplete: "off" })
  const unit = el("span", { class: "quiet" })
  const heldAt = el("span", { class: "quiet", "aria-hidden": "true" })
  const slider = el("input", { type: "range" })
  const read = el("div", { class: "read" })
  const element = el("div", { class: "operate" },
    el("div", { class: "held" }, heldAt, modes), el("div", { class: "entry" }, entry, unit), slider, read)

  const stroke = strokeOf(slider, say)
  slider.addEventListener("input", () => say("slide", Number(slider.value)))
  let offered = "" // what stands in the box unless somebody types
  entry.addEventListener("change", () => { if (entry.value !== offered) say("typed", entry.value) })
  entry.addEventListener("keydown", (event) => { if (event.key === "Escape") entry.value = offered })

  return {
    element,
    /** @type {(control: Curves.Control, level: string) => void} */
    show(control, level) {
      modes.style.display = control.modes ? "" : "none"
      heldAt.textContent = control.modes ? control.short : control.label
      if (control.modes) modes.show(control.modes, control.kind)
      slider.min = String(control.least)
      slider.max = String(control.most)
      slider.step = String(control.step)
      if (!stroke.held || !busy()) slider.value = String(control.value)
      slider.setAttribute("aria-label", control.label)
      slider.setAttribute("aria-valuetext", control.where && level ? `${control.where}; ${level}: ${control.text}` : control.text)
      if (!entry.matches(":focus")) entry.value = control.number
      offered = control.number
      entry.setAttribute("aria-label", `${control.label} (${control.unit})`)
      unit.textContent = control.unit
      read.replaceChildren(...reading(control))
    },
    close: stroke.end,
  }
}

/** What the operating point comes to, in words.
 * @param {Curves.Control} control */
const reading = ({ lead, text, of, where, more }) => [
  lead ? `${lead} ` : "", el("b", {}, text), of ? ` ${of}` : "",
  el("span", { class: "where" }, text && where ? "; " : "", where), more && (text || where) ? "; " : "", more,
]

/**
 * All that one grip, or a run of arrow keys, moves is one step to undo.
 * @param {HTMLElement} slider
 * @param {(what: string, value: unknown) => void} say
 */
function strokeOf(slider, say) {
  let resting = 0, held = false
  const begin = () => {
    clearTimeout(resting)
    if (!held) say("stroke", "begin")
    held = true
  }
  const end = () => {
    clearTimeout(resting)
    if (!held) return
    held = false
    say("stroke", "end")
  }
  slider.addEventListener("pointerdown", begin)
  slider.addEventListener("keydown", (event) => { if (MOVING.includes(event.key)) begin() })
  slider.addEventListener("keyup", () => { clearTimeout(resting); resting = setTimeout(end, REST_MS) })
  for (const name of ["pointerup", "pointercancel", "blur"]) slider.addEventListener(name, end)
  return { end, get held() { return held } }
}
