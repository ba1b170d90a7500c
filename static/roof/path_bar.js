// @ts-check
// The line above the drawing: the path to where one is, and the address box.

import { find, withKeys } from "../shared/elements.js"
import { html, keysTo, put, write } from "./dom.js"
import { LEVELS } from "./levels.js"
import { moduleAt, substringOf } from "./plan.js"
import { say, show } from "./store.js"

const SPARE_PX = 24 // behind the last part, where what is scrolled away fades

/** @param {Roof.Store} d */
export function drawCrumbs(d) {
  const { focus, level, plan } = d
  const module = moduleAt(plan, focus)
  const part = focus.substring || focus.diode || (focus.cell && module ? substringOf(module.shape, focus.cell - 1) : 0)
  /** @type {[Roof.Level, string, number | ""][]} */
  const steps = [["array", d.words.levels.array, ""]]
  if (focus.string || level !== "array") steps.push(["string", d.words.levels.string, focus.string || 1])
  if (focus.module || LEVELS.indexOf(level) > 1) steps.push(["module", d.words.levels.module, focus.module || 1])
  if (part || LEVELS.indexOf(level) > 2) steps.push(["substring", d.words.levels.substring, part || 1])
  if (focus.cell || level === "cell") steps.push(["cell", d.words.levels.cell, focus.cell || 1])
  const key = JSON.stringify([steps, level])
  if (d.crumbs.key === key) return
  const inside = d.crumbs.contains(withKeys(d.root))
  d.crumbs.key = key
  d.crumbs.replaceChildren()
  const list = html("ol", {}, d.crumbs)
  for (const [name, word, number] of steps) {
    const item = html("li", {}, list)
    const button = html("button", { type: "button", class: "crumb", "data-level": name, "aria-current": name === level ? "location" : null, title: `${word} ${number}`.trim(), "aria-label": `${word} ${number}`.trim() }, item)
    if (number) html("span", { class: "name", text: `${word} ` }, button)
    button.append(String(number || word))
    button.addEventListener("click", () => show(d, d.focus, name))
    if (inside && name === level) button.focus()
  }
  fitCrumbs(d)
}

/**
 * Where the path is too long for its line, the parts beside the one shown are called by their numbers alone.
 * @param {Roof.Store} d
 */
export function fitCrumbs(d) {
  const list = d.crumbs.querySelector("ol")
  if (!list) return
  d.crumbs.classList.remove("short")
  d.crumbs.classList.toggle("short", list.offsetWidth - SPARE_PX > d.crumbs.clientWidth)
  const here = find(list, "[aria-current]")
  d.crumbs.onscroll = () => d.crumbs.classList.toggle("from", d.crumbs.scrollLeft > 1)
  if (here) d.crumbs.scrollLeft = here.offsetLeft + here.offsetWidth + 24 - d.crumbs.clientWidth
}

/**
 * @param {Roof.Store} d
 * @param {Element} parent
 */
export function makeAddress(d, parent) {
  const form = html("form", { class: "address", novalidate: true }, parent)
  const input = html("input", {
    class: "input", type: "text", name: "place", autocomplete: "off", spellcheck: "false", placeholder: "2/5/14",
    "aria-label": d.words.address, title: d.words.address_hint,
  }, form)
  html("button", { type: "submit", class: "button button--edge", text: d.words.go }, form)
  const wrong = html("p", { class: "wrong", id: "address-wrong", role: "status" }, form)
  form.addEventListener("submit", (event) => {
    event.preventDefault()
    say(d, { do: "go", text: input.value })
  })
  input.addEventListener("keydown", (event) => event.stopPropagation())
  input.addEventListener("input", () => tell(""))
  /** @param {string} text */
  function tell(text) {
    write(wrong, text)
    put(input, "aria-invalid", text ? "true" : null)
    put(input, "aria-describedby", text ? "address-wrong" : null)
  }
  /**
   * What is wrong with the place, or its short form, unless another is being typed.
   * @param {Roof.Answer} found
   */
  function answer({ address = "", typed, place }) {
    tell(address)
    if (!place || input.value !== typed) return
    input.value = place
    // Found and drawn: the keys go on there, unless somebody has gone elsewhere meanwhile.
    if (withKeys(d.root) === input) keysTo(d.arrived ? d.current?.element : d.image)
  }
  function clear() {
    input.value = ""
    tell("")
  }
  return { answer, clear }
}

/**
 * Faults with no place of their own in the drawing are told in words.
 * @param {Roof.Store} d
 */
export function tellAlso(d) {
  const told = [...d.now.faults.other, ...d.now.faults.substring]
  d.also.hidden = !told.length
  write(d.also, told.map(([where, kind]) => `${d.words.kinds[kind].title} (${where})`).join(", "))
}
