// What a click does: look, shade, break, mend, or move shadows; and the colours' legend.

import { fitted, html, plain, put, svg, typed, write } from "./dom.js"
import { isFar } from "./levels.js"
import { gradient } from "./scales.js"
import { buildWire, updateWire, wireKeyOf, wireSign } from "./wire_options.js"
import { keepInSight, tellWord, tellWrong } from "./word.js"

const OFFERED = [0, 0.2, 0.5, 0.8]

const ICONS = {
  look: "M2 10s3-5.5 8-5.5 8 5.5 8 5.5-3 5.5-8 5.5S2 10 2 10zm8-2.6a2.6 2.6 0 1 0 0 5.2 2.6 2.6 0 0 0 0-5.2z",
  shade: "M3 3h14v14H3zM3 12l9-9M3 17L17 3M8 17l9-9",
  break: "M11 2L5 11h4l-1.5 7L15 8h-4.5z",
  mend: "M4 16l7-7m-1.5-4.5a4 4 0 0 1 5.6 4.6 4 4 0 0 1-4.8 1M10 4.6l2 2.4 2.6-.5.5-2.3",
  shadow: "M3 17L9 4h8l-6 13z",
}

/** The tools above the drawing. `act` is told what somebody chose. */
export function makePalette(parent, words, act) {
  const bar = html("div", { class: "tools", role: "toolbar", "aria-label": words.tools }, parent)
  const hand = html("div", { class: "hand" }, bar)
  const choice = html("div", { class: "choice trays" }, hand)
  const trays = {}
  for (const name of ["look", "shade", "break", "mend", "shadow", "wire"]) {
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
  return { bar, hand, trays, options, word: null, tip: null, key: "", words, act, sizes: {} }
}

/** Fit what a tray offers into one row: icons and names of groups go first, what is still too much is scrolled to. */
export function fitPalette({ bar, hand, options }) {
  const scopes = bar.querySelector(".scopes")
  options.classList.remove("tight")
  hand.classList.remove("tight")
  if (scopes) {
    hand.append(scopes)
    if (hand.scrollWidth > hand.clientWidth) options.prepend(scopes)
  }
  hand.classList.toggle("tight", hand.scrollWidth > hand.clientWidth)
  options.classList.toggle("tight", options.scrollWidth > options.clientWidth)
  tellEnd(options)
}

function tellEnd(options) {
  options.parentNode.classList.toggle("more", options.scrollLeft + options.clientWidth < options.scrollWidth - 2)
}

/** Show the tray, its options and what to beware of. */
export function updatePalette(palette, view) {
  const { words, options } = palette
  for (const [name, button] of Object.entries(palette.trays)) put(button, "aria-pressed", String(name === view.tray))
  const shadow = view.tray === "shadow" ? view.now.shadows[view.chosenShadow] : null
  const key = [view.tray, isFar(view.level), view.scope, view.condition, view.tray === "shadow" ? view.now.shadows.map((one) => one.kind).join() + view.chosenShadow : "", view.tray === "wire" ? wireKeyOf(view) : ""].join("|")
  if (palette.key !== key) {
    palette.key = key
    const active = palette.bar.getRootNode().activeElement
    const held = palette.bar.contains(active) || palette.word.fields.contains(active) ? active.dataset.name : ""
    options.replaceChildren()
    palette.hand.querySelector(".scopes")?.remove()
    palette.word.fields.replaceChildren()
    tellWrong(palette.word, palette.word.wrong?.id, "")
    const build = { look: buildLook, shade: buildShade, break: buildBreak, mend: buildMend, shadow: buildShadow, wire: (one, d) => buildWire(one, d, commit) }
    palette.fields = null
    build[view.tray](palette, view)
    fitPalette(palette)
    if (held) palette.bar.parentNode.querySelector(`[data-name="${CSS.escape(held)}"]`)?.focus()
    options.querySelector("[aria-pressed=true]")?.scrollIntoView({ block: "nearest", inline: "nearest" })
  }
  if (shadow && palette.fields) {
    for (const [name, input] of Object.entries(palette.fields)) {
      if (input !== input.getRootNode().activeElement) input.value = shown(name, shadow)
    }
  }
  if (view.tray === "wire") updateWire(palette, view)
  const [kind] = view.condition.split(":")
  write(palette.tip, view.hint || (view.tray === "wire" ? view.now.searching : ""))
  const silent = palette.word.caution.hidden
  tellWord(palette.word, { hint: firstHint(view, words), caution: view.tray === "break" ? words.cautions[kind] || "" : "" })
  if (silent && !palette.word.caution.hidden && view.arrived) keepInSight(palette.word, view.rings.focus)
}

/** What to do, as long as nothing has been done. */
function firstHint({ now, tray, level, condition }, words) {
  if (!now.fresh) return ""
  if (tray === "look") return words.first_hint.look
  const [kind, share] = condition.split(":")
  if (tray !== "shade" || kind !== "shade" || share >= 1) return ""
  return fitted(words.first_hint[isFar(level) ? "module" : "cell"], { percent: `${plain(share * 100)}\u202f%` })
}

/** What the tools act on: whole modules from afar, cells from near. */
const unitShown = (view) => (isFar(view.level) ? "module" : "cell")

function buildLook({ options, words }) {
  html("span", { class: "hint", text: matchMedia("(pointer: coarse)").matches ? words.look_hint_touch : words.look_hint }, options)
}

function buildMend({ options, words, act }, view) {
  html("span", { class: "hint", text: words.mend_hint[unitShown(view)] }, options)
  const all = html("button", { type: "button", class: "button button--edge", "data-name": "mend-all", text: words.mend_all }, options)
  all.addEventListener("click", () => act.mendAll())
}

function buildShade(palette, view) {
  const { options, words, act } = palette
  const now = Number(view.condition.split(":")[1])
  const box = html("div", { class: "chips" }, options)
  html("span", { class: "label wide", text: words.light_to[unitShown(view)] }, box)
  html("span", { class: "label narrow", "aria-hidden": "true", text: words.units[unitShown(view)] }, box)
  const group = html("div", { class: "choice", role: "group", "aria-label": words.light_to[unitShown(view)] }, box)
  for (const share of OFFERED) offer(group, `shade:${share}`, `${share * 100}${"\u202f"}%`, now === share, act)
  const label = html("label", { class: "sized" }, box)
  const input = html("input", {
    class: "input", type: "text", inputmode: "decimal", "data-name": "percent", "aria-label": words.other_share,
    value: now < 1 && !OFFERED.includes(now) ? plain(now * 100) : "", placeholder: "…",
  }, label)
  html("span", { text: "%" }, label)
  commit(input, { least: 0, most: 100, unit: "%" }, palette, (value) => act.condition(`shade:${Math.round(value * 10) / 1000}`))
  offer(html("div", { class: "choice" }, box), "shade:1", words.clear, now === 1, act)
}

function buildBreak(palette, view) {
  const { options, words, act } = palette
  const scopes = html("div", { class: "choice scopes", role: "group", "aria-label": words.what_breaks }, options)
  for (const group of words.groups) {
    const button = html("button", { type: "button", "aria-pressed": String(group.scope === view.scope), "data-name": `scope-${group.scope}`, text: group.title }, scopes)
    button.addEventListener("click", () => act.scope(group.scope))
  }
  const group = words.groups.find((one) => one.scope === view.scope)
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
    const input = html("input", {
      class: "input", type: "text", inputmode: "decimal", "data-name": "size", "aria-label": known.size_name,
      value: plain((size === undefined ? known.size : Number(size)) * share),
    }, label)
    html("span", { class: known.unit === "1" ? "count" : "", text: share === 100 ? "%" : known.unit === "ohm" ? "Ω" : words.modules }, label)
    commit(input, { least: known.least * share, most: known.most * share, whole: known.unit === "1", unit: share === 100 ? "%" : "Ω" }, palette, (value) => {
      palette.sizes[kind] = value / share
      act.condition(`${kind}:${value / share}`)
    })
  }
}

function sized(palette, condition) {
  return palette.sizes[condition] === undefined ? condition : `${condition}:${palette.sizes[condition]}`
}

function buildShadow(palette, view) {
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
  palette.fields = {}
  const band = shadow.kind === "snow-edge" || shadow.kind === "front-row"
  for (const name of band ? ["height", "through"] : ["x", "y", "width", "height", "angle", "through"]) {
    const field = html("label", { class: "sized" }, row)
    html("span", { class: "label", text: words.fields[name] }, field)
    const input = html("input", { class: "input", type: "text", inputmode: "decimal", "data-name": `field-${name}`, value: shown(name, shadow) }, field)
    const [least, most] = { x: [-50, 200], y: [-50, 200], width: [0.01, 200], height: [0.01, 50], angle: [-180, 180], through: [0, 100] }[name]
    const unit = { angle: "°", through: "%" }[name] ?? "m"
    put(input, "aria-label", `${words.fields[name]}, ${unit}`)
    if (!["x", "y", "width"].includes(name)) html("span", { text: unit }, field)
    commit(input, { least, most, unit }, palette, (value) => act.shadowField(name, name === "through" ? value / 100 : value))
    palette.fields[name] = input
  }
  const remove = html("button", { type: "button", class: "button button--edge", "data-name": "remove", text: words.remove }, there)
  remove.addEventListener("click", () => act.removeShadow())
}

function shown(name, shadow) {
  if (name === "through") return plain(shadow.through * 100)
  if (name === "angle") return String(Math.round(shadow.angle)).replace("-", "\u2212")
  return plain(Math.round(shadow[name] * 100) / 100)
}

function offer(group, condition, text, pressed, act) {
  const button = html("button", { type: "button", "aria-pressed": String(pressed), "data-name": condition, text }, group)
  button.addEventListener("click", () => act.condition(condition))
}

/** A number field that hands over what was typed when it is a number in range, and says why when it is not. */
function commit(input, { least, most, unit = "", whole = false }, { word, words }, done) {
  const id = `wrong-${input.dataset.name}`
  input.addEventListener("change", () => {
    const value = typed(input.value, unit)
    const good = value >= least - 1e-9 && value <= most + 1e-9 && !(whole && value % 1)
    put(input, "aria-invalid", good ? null : "true")
    put(input, "aria-describedby", good ? null : id)
    const values = { text: input.value.trim().slice(0, 20), least: plain(least), most: plain(most) }
    tellWrong(word, id, good ? "" : fitted(whole ? words.needs_whole : words.needs_number, values))
    tellWord(word, { hint: "", caution: "" })
    if (good) done(value)
  })
  input.addEventListener("keydown", (event) => event.stopPropagation())
}

/** The legend under the drawing: quantity, scale with ticks. */
export function makeLegend(parent, words, act) {
  const foot = html("div", { class: "legend" }, parent)
  const choice = html("div", { class: "choice quantities", role: "group", "aria-label": words.quantity }, foot)
  const buttons = {}
  for (const [name, title] of words.quantities) {
    buttons[name] = html("button", { type: "button", "data-quantity": name, text: title }, choice)
    buttons[name].addEventListener("click", () => act.quantity(name))
  }
  const scale = html("div", { class: "scale" }, foot)
  const ramp = html("div", { class: "ramp", "aria-hidden": "true" }, scale)
  const ticks = html("div", { class: "ticks" }, scale)
  return { buttons, ramp, ticks, words, last: "" }
}

/** Bring the legend up to date. */
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
