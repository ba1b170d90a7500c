// @ts-check
// What each tool offers in the row above the drawing, and for shadows in the line below it.

import { html, plain, put } from "./dom.js"
import { isFar } from "./levels.js"
import { commit } from "./number_box.js"

const OFFERED = [0, 0.2, 0.5, 0.8]
/** @type {Roof.ShadowField[]} */
const SHADOW_FIELDS = ["x", "y", "width", "height", "angle", "through"]
/** @type {Roof.ShadowField[]} */
const BAND_FIELDS = ["height", "through"]
/** @type {Record<Roof.ShadowField, [number, number]>} */
const BOUNDS = { x: [-50, 200], y: [-50, 200], width: [0.01, 200], height: [0.01, 50], angle: [-180, 180], through: [0, 100] }

/** What the tools act on: whole modules from afar, cells from near.
 * @type {(view: Roof.Store) => "module" | "cell"} */
const unitShown = (view) => (isFar(view.level) ? "module" : "cell")

/** @type {(palette: Roof.Palette, view: Roof.Store) => void} */
export function buildLook({ options, words }) {
  html("span", { class: "hint", text: matchMedia("(pointer: coarse)").matches ? words.look_hint_touch : words.look_hint }, options)
}

/** @type {(palette: Roof.Palette, view: Roof.Store) => void} */
export function buildMeasure(palette, view) {
  const { options, words, act } = palette
  const field = html("label", { class: "sized" }, options)
  html("span", { class: "label wide", text: words.probe }, field)
  const select = /** @type {HTMLSelectElement} */ (html("select", { class: "input", "data-name": "probe", "aria-label": words.probe }, field))
  for (const group of new Set(words.probes.map((one) => one[2]))) {
    const set = html("optgroup", { label: group }, select)
    for (const [name, title] of words.probes.filter((one) => one[2] === group)) html("option", { value: name, text: title }, set)
  }
  select.value = view.probe
  select.addEventListener("change", () => act.probe(select.value))
  palette.latest = html("span", { class: "hint latest" }, options)
}

/** @type {(palette: Roof.Palette, view: Roof.Store) => void} */
export function buildMend({ options, words, act }, view) {
  html("span", { class: "hint", text: words.mend_hint[unitShown(view)] }, options)
  const all = html("button", { type: "button", class: "button button--edge", "data-name": "mend-all", text: words.mend_all }, options)
  all.addEventListener("click", () => act.mendAll())
}

/** @type {(palette: Roof.Palette, view: Roof.Store) => void} */
export function buildShade(palette, view) {
  const { options, words, act } = palette
  const now = Number(view.condition.split(":")[1])
  const box = html("div", { class: "chips" }, options)
  html("span", { class: "label wide", text: words.light_to[unitShown(view)] }, box)
  html("span", { class: "label narrow", "aria-hidden": "true", text: words.units[unitShown(view)] }, box)
  const group = html("div", { class: "choice", role: "group", "aria-label": words.light_to[unitShown(view)] }, box)
  for (const share of OFFERED) offer(group, `shade:${share}`, `${share * 100}${"\u202f"}%`, now === share, act)
  const label = html("label", { class: "sized" }, box)
  const input = /** @type {HTMLInputElement} */ (html("input", {
    class: "input", type: "text", inputmode: "decimal", "data-name": "percent", "aria-label": words.other_share,
    value: now < 1 && !OFFERED.includes(now) ? plain(now * 100) : "", placeholder: "…",
  }, label))
  html("span", { text: "%" }, label)
  commit(input, { least: 0, most: 100, unit: "%" }, palette, (value) => act.condition(`shade:${Math.round(value * 10) / 1000}`))
  offer(html("div", { class: "choice" }, box), "shade:1", words.clear, now === 1, act)
}

/** @type {(palette: Roof.Palette, view: Roof.Store) => void} */
export function buildBreak(palette, view) {
  const { options, words, act } = palette
  const scopes = html("div", { class: "choice scopes", role: "group", "aria-label": words.what_breaks }, options)
  for (const group of words.groups) {
    const button = html("button", { type: "button", "aria-pressed": String(group.scope === view.scope), "data-name": `scope-${group.scope}`, text: group.title }, scopes)
    button.addEventListener("click", () => act.scope(group.scope))
  }
  const group = words.groups.find((one) => one.scope === view.scope) ?? words.groups[0]
  const [kind, size] = view.condition.split(":")
  for (const set of group.sets) {
    const box = html("div", { class: "chips set", role: "group", "aria-label": set.title || group.title, title: set.title }, options)
    if (set.title) html("span", { class: "label spare", text: set.title }, box)
    for (const [condition, short, meaning] of set.kinds) {
      const pressed = condition === view.condition || condition === kind
      const button = html("button", { type: "button", class: "chip", "aria-pressed": String(pressed), title: meaning, "data-name": condition, text: short }, box)
      button.addEventListener("click", () => act.condition(sized(palette, condition)))
    }
  }
  const known = words.kinds[kind]
  if (known && known.size !== null && group.sets.some((set) => set.kinds.some(([c]) => c === kind))) {
    const share = known.unit === "" ? 100 : 1
    const label = html("label", { class: "sized", title: known.size_name }, options)
    const input = /** @type {HTMLInputElement} */ (html("input", {
      class: "input", type: "text", inputmode: "decimal", "data-name": "size", "aria-label": known.size_name,
      value: plain((size === undefined ? known.size : Number(size)) * share),
    }, label))
    html("span", { class: known.unit === "1" ? "count" : "", text: share === 100 ? "%" : known.unit === "ohm" ? "Ω" : words.modules }, label)
    commit(input, { least: known.least * share, most: known.most * share, whole: known.unit === "1", unit: share === 100 ? "%" : "Ω" }, palette, (value) => {
      palette.sizes[kind] = value / share
      act.condition(`${kind}:${value / share}`)
    })
  }
}

/** @type {(palette: Roof.Palette, condition: string) => string} */
function sized(palette, condition) {
  return palette.sizes[condition] === undefined ? condition : `${condition}:${palette.sizes[condition]}`
}

/** @type {(palette: Roof.Palette, view: Roof.Store) => void} */
export function buildShadow(palette, view) {
  const { options, words, act, word } = palette
  const there = html("div", { class: "chips", role: "group", "aria-label": words.on_roof, hidden: !view.now.shadows.length }, options)
  html("span", { class: "label spare", text: words.on_roof }, there)
  const box = html("div", { class: "chips", role: "group", "aria-label": words.add_shadow }, options)
  html("span", { class: "label spare", text: words.add }, box)
  for (const [kind, title] of words.shadows) {
    const button = html("button", { type: "button", class: "chip", "data-name": `add-${kind}`, text: title }, box)
    button.addEventListener("click", () => act.addShadow(kind))
  }
  view.now.shadows.forEach((one, k) => {
    const title = words.shadows.find(([kind]) => kind === one.kind)?.[1] ?? one.kind
    const button = html("button", {
      type: "button", class: "chip", "data-name": `shadow-${k}`, "aria-pressed": String(k === view.chosenShadow),
      "aria-description": words.shadow_keys, title: words.shadow_keys, text: `${k + 1} ${title}`,
    }, there)
    button.addEventListener("click", () => act.chooseShadow(k))
    button.addEventListener("keydown", (event) => {
      if (k !== view.chosenShadow || !act.shadowKey(event)) return
      event.preventDefault()
      event.stopPropagation()
    })
  })
  const shadow = view.now.shadows[view.chosenShadow]
  if (!shadow) return
  const row = word.fields
  /** @type {Partial<Record<Roof.ShadowField, HTMLInputElement>>} */
  const fields = (palette.fields = {})
  const band = shadow.kind === "snow-edge" || shadow.kind === "front-row"
  for (const name of band ? BAND_FIELDS : SHADOW_FIELDS) {
    const field = html("label", { class: "sized" }, row)
    html("span", { class: "label", text: words.fields[name] }, field)
    const input = /** @type {HTMLInputElement} */ (html("input", { class: "input", type: "text", inputmode: "decimal", "data-name": `field-${name}`, value: shown(name, shadow) }, field))
    const [least, most] = BOUNDS[name]
    const unit = name === "angle" ? "°" : name === "through" ? "%" : "m"
    put(input, "aria-label", `${words.fields[name]}, ${unit}`)
    if (!["x", "y", "width"].includes(name)) html("span", { text: unit }, field)
    commit(input, { least, most, unit }, palette, (value) => act.shadowField(name, name === "through" ? value / 100 : value))
    fields[name] = input
  }
  const remove = html("button", { type: "button", class: "button button--edge", "data-name": "remove", text: words.remove }, there)
  remove.addEventListener("click", () => act.removeShadow())
}

/** @type {(name: Roof.ShadowField, shadow: Roof.Shadow) => string} */
export function shown(name, shadow) {
  if (name === "through") return plain(shadow.through * 100)
  if (name === "angle") return String(Math.round(shadow.angle)).replace("-", "\u2212")
  return plain(Math.round(shadow[name] * 100) / 100)
}

/** @type {(group: Element, condition: string, text: string, pressed: boolean, act: Roof.Tools) => void} */
function offer(group, condition, text, pressed, act) {
  const button = html("button", { type: "button", "aria-pressed": String(pressed), "data-name": condition, text }, group)
  button.addEventListener("click", () => act.condition(condition))
}
