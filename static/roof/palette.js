// @ts-check
// What a click does: look, shade, break, mend, move shadows, or wire.

import { find } from "../shared/elements.js"
import { fitted, html, plain, put, svg, write } from "./dom.js"
import { isFar } from "./levels.js"
import { buildBreak, buildLook, buildMeasure, buildMend, buildShade, buildShadow, shown } from "./palette_options.js"
import { buildWire, updateWire, wireKeyOf, wireSign } from "./wire_options.js"
import { keepInSight, keyBefore, tellWord, tellWrong } from "./word.js"

/** @type {Roof.Tray[]} */
const TRAYS = ["look", "shade", "break", "mend", "shadow", "wire", "measure"]

/** @type {Partial<Record<Roof.Tray, string>>} */
const ICONS = {
  look: "M2 10s3-5.5 8-5.5 8 5.5 8 5.5-3 5.5-8 5.5S2 10 2 10zm8-2.6a2.6 2.6 0 1 0 0 5.2 2.6 2.6 0 0 0 0-5.2z",
  shade: "M3 3h14v14H3zM3 12l9-9M3 17L17 3M8 17l9-9",
  break: "M11 2L5 11h4l-1.5 7L15 8h-4.5z",
  mend: "M4 16l7-7m-1.5-4.5a4 4 0 0 1 5.6 4.6 4 4 0 0 1-4.8 1M10 4.6l2 2.4 2.6-.5.5-2.3",
  shadow: "M3 17L9 4h8l-6 13z",
  measure: "M3 14a7 7 0 0 1 14 0zM10 14l3.500-4.500M3 17h14",
}

/** @type {Record<Roof.Tray, (palette: Roof.Palette, view: Roof.Store) => void>} */
const BUILDERS = { look: buildLook, shade: buildShade, break: buildBreak, mend: buildMend, shadow: buildShadow, wire: buildWire, measure: buildMeasure }

/**
 * The tools above the drawing. `act` is told what somebody chose.
 * @param {Element} parent
 * @param {Roof.Words} words
 * @param {Roof.Tools} act
 * @returns {Omit<Roof.Palette, "word" | "tip">}
 */
export function makePalette(parent, words, act) {
  const bar = html("div", { class: "tools", role: "toolbar", "aria-label": words.tools }, parent)
  const hand = html("div", { class: "hand" }, bar)
  const choice = html("div", { class: "choice trays" }, hand)
  /** @type {Roof.Palette["trays"]} */
  const trays = {}
  for (const name of TRAYS) {
    const button = html("button", { type: "button", class: "tray-button", "data-tray": name }, choice)
    const image = svg("svg", { viewBox: "0 0 20 20", "aria-hidden": "true", class: "icon" }, button)
    if (name === "wire") wireSign(image)
    else svg("path", { d: ICONS[name] }, image)
    html("span", { text: words.trays[name] }, button)
    button.addEventListener("click", () => act.tray(name))
    trays[name] = button
  }
  const options = html("div", { class: "options" }, html("div", { class: "strip" }, bar))
  // What the row does not hold is a step sideways away; keys get there by themselves.
  const onward = html("button", { type: "button", class: "onward", tabindex: -1, "aria-hidden": "true", title: words.more_tools, text: "\u203a" }, options.parentElement)
  onward.addEventListener("click", () => options.scrollBy({ left: 0.7 * options.clientWidth }))
  options.addEventListener("scroll", () => tellEnd(options))
  options.addEventListener("wheel", (event) => {
    if (event.deltaX || options.scrollWidth <= options.clientWidth) return
    event.preventDefault()
    options.scrollLeft += event.deltaY
  }, { passive: false })
  return { bar, hand, trays, options, fields: null, key: "", words, act, sizes: {} }
}

/**
 * Fit what a tray offers into one row: icons and names of groups go first, then room within the buttons; what is still
 * too much is scrolled to.
 * @param {Roof.Palette} palette
 */
export function fitPalette({ bar, hand, options }) {
  const scopes = bar.querySelector(".scopes")
  options.classList.remove("tight")
  hand.classList.remove("tight", "tighter")
  if (scopes) {
    hand.append(scopes)
    if (hand.scrollWidth > hand.clientWidth) options.prepend(scopes)
  }
  hand.classList.toggle("tight", hand.scrollWidth > hand.clientWidth)
  hand.classList.toggle("tighter", hand.scrollWidth > hand.clientWidth)
  options.classList.toggle("tight", options.scrollWidth > options.clientWidth)
  tellEnd(options)
}

/** @param {HTMLElement} options */
function tellEnd(options) {
  options.parentElement?.classList.toggle("more", options.scrollLeft + options.clientWidth < options.scrollWidth - 2)
}

/**
 * Show the tray, its options and what to beware of.
 * @param {Roof.Palette} palette
 * @param {Roof.Store} view
 */
export function updatePalette(palette, view) {
  const { words, options } = palette
  for (const [name, button] of Object.entries(palette.trays)) put(button, "aria-pressed", String(name === view.tray))
  const shadow = view.tray === "shadow" ? view.now.shadows[view.chosenShadow] : null
  const key = [view.tray, isFar(view.level), view.scope, view.condition, view.tray === "measure" ? view.probe : "", view.tray === "shadow" ? view.now.shadows.map((one) => one.kind).join() + view.chosenShadow : "", view.tray === "wire" ? wireKeyOf(view) : ""].join("|")
  if (palette.key !== key) {
    palette.key = key
    const active = /** @type {HTMLElement | null} */ (/** @type {Document | ShadowRoot} */ (palette.bar.getRootNode()).activeElement)
    const held = palette.bar.contains(active) || palette.word.fields.contains(active) ? active?.dataset.name : ""
    options.replaceChildren()
    palette.hand.querySelector(".scopes")?.remove()
    palette.word.fields.replaceChildren()
    tellWrong(palette.word, palette.word.wrong?.id ?? "", "")
    palette.fields = null
    BUILDERS[view.tray](palette, view)
    fitPalette(palette)
    if (held && palette.bar.parentElement) find(palette.bar.parentElement, `[data-name="${CSS.escape(held)}"]`)?.focus()
    options.querySelector("[aria-pressed=true]")?.scrollIntoView({ block: "nearest", inline: "nearest" })
  }
  if (shadow && palette.fields) {
    for (const [name, input] of /** @type {[Roof.ShadowField, HTMLInputElement][]} */ (Object.entries(palette.fields))) {
      if (input !== /** @type {ShadowRoot} */ (input.getRootNode()).activeElement) input.value = shown(name, shadow)
    }
  }
  if (view.tray === "wire") updateWire(palette, view)
  if (view.tray === "measure" && palette.latest) {
    write(palette.latest, view.now.latest || (matchMedia("(pointer: coarse)").matches ? words.measure_hint_touch : words.measure_hint))
    put(palette.latest, "title", view.now.latest)
  }
  const [kind] = view.condition.split(":")
  write(palette.tip, view.hint || (view.tray === "wire" ? view.now.searching : ""))
  keyBefore(palette.word, (view.now.read ?? []).some(([, , outdated]) => outdated))
  const silent = palette.word.caution.hidden
  tellWord(palette.word, { hint: firstHint(view, words), caution: view.tray === "break" ? words.cautions[kind] || "" : "" })
  if (silent && !palette.word.caution.hidden && view.arrived) keepInSight(palette.word, view.rings.focus)
}

/** What to do, as long as nothing has been done.
 * @type {(view: Roof.Store, words: Roof.Words) => string} */
function firstHint({ now, tray, level, condition }, words) {
  if (!now.fresh) return ""
  if (tray === "look") return words.first_hint.look
  const [kind, share] = condition.split(":")
  if (tray !== "shade" || kind !== "shade" || Number(share) >= 1) return ""
  return fitted(words.first_hint[isFar(level) ? "module" : "cell"], { percent: `${plain(Number(share) * 100)}\u202f%` })
}
