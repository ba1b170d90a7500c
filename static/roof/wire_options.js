// @ts-check
// What the row above the drawing and the line below it offer while mounting and wiring is in hand.

import { fitted, html, plain, put, svg } from "./dom.js"
import { holds } from "./mounted.js"
import { commit } from "./number_box.js"
import { hueOf } from "./wire_hand.js"

const MOST_CHIPS = 12 // strings that have a button each
const MOST_STRINGS = 99
const SEARCH = "shortest"

/** What all of it depends on; another key, and it is made anew.
 * @param {Roof.Store} d */
export function wireKeyOf(d) {
  const { tool, scope, string, strings, side } = d.wire
  return [tool, scope, string, strings, side, placesOf(d), d.plan.strings.length, !!d.plan.mounted, !!d.now.searching, d.now.section].join()
}

/** How many modules are mounted.
 * @param {Roof.Store} d */
const placesOf = (d) => d.plan.mounted?.spots.filter(holds).length ?? 0

/**
 * Rows and columns of the blocks that a string of so many modules fills; of a prime number one that it nearly does.
 * @param {number} count
 * @returns {[number, number][]}
 */
export function blocksOf(count) {
  /** @type {[number, number][]} */
  const found = []
  for (let rows = 2; rows <= count / 2; rows++) if (count % rows === 0) found.push([rows, count / rows])
  return found.length || count < 3 ? found : [[2, Math.ceil(count / 2)]]
}

/** Where the box is, in its fields; not in one that somebody types into.
 * @type {(palette: Roof.Palette, d: Roof.Store) => void} */
export function updateWire({ word }, d) {
  const { mounted } = d.plan
  for (const name of /** @type {["x", "y"]} */ (["x", "y"])) {
    const input = /** @type {HTMLInputElement | null} */ (word.fields.querySelector(`[data-name="wire-${name}"]`))
    const root = /** @type {ShadowRoot | undefined} */ (input?.getRootNode())
    if (mounted && input && input !== root?.activeElement) input.value = plain(mounted.box[name] / 1000)
  }
}

/** @type {(palette: Roof.Palette, d: Roof.Store) => void} */
export function buildWire(palette, d) {
  const { options, words: { wire: words }, act } = palette
  if (!d.plan.mounted) {
    const free = html("button", { type: "button", class: "button button--main", "data-name": "free", text: words.free }, options)
    free.addEventListener("click", () => act.say({ do: "free" }))
    html("span", { class: "hint", text: words.free_hint }, options)
    return
  }
  const { wire } = d
  const tools = choice(options, words.tools, Object.entries(words.tool), wire.tool, "tool", (tool) => act.wire({ tool: /** @type {Roof.Wire["tool"]} */ (tool) }))
  tools.classList.add("wire-tools")
  if (wire.tool === "string") stringChips(palette, d)
  if (wire.tool === "turn" || wire.tool === "take") {
    choice(options, words.how_much, Object.entries(words.scope), wire.scope, "scope", (scope) => act.wire({ scope: /** @type {Roof.Wire["scope"]} */ (scope) }))
  }
  orders(palette, d)
}

/**
 * @param {HTMLElement} parent
 * @param {string} label
 * @param {[string, string][]} names
 * @param {string} now
 * @param {string} kind
 * @param {(name: string) => void} done
 */
function choice(parent, label, names, now, kind, done) {
  const group = html("div", { class: "choice", role: "group", "aria-label": label }, parent)
  for (const [name, text] of names) {
    const button = html("button", { type: "button", "aria-pressed": String(name === now), "data-name": `${kind}-${name}`, text }, group)
    button.addEventListener("click", () => done(name))
  }
  return group
}

/** @type {(palette: Roof.Palette, d: Roof.Store) => void} */
function stringChips({ options, words: { wire: words }, act }, d) {
  const count = d.plan.strings.length
  const group = html("div", { class: "chips", role: "group", "aria-label": words.which_string }, options)
  html("span", { class: "label spare", text: words.which_string }, group)
  const first = Math.max(1, Math.min(d.wire.string - MOST_CHIPS + 2, count - MOST_CHIPS + 2))
  for (let number = first; number <= Math.min(count + 1, first + MOST_CHIPS); number++) {
    const added = number > count
    const button = html("button", {
      type: "button", class: `chip ${hueOf(number - 1)}`, "aria-pressed": String(number === d.wire.string), "data-name": `string-${number}`,
      title: fitted(added ? words.new_string : words.draw_string, { string: number }),
      "aria-label": fitted(added ? words.new_string : words.draw_string, { string: number }), text: added ? "+" : String(number),
    }, group)
    button.addEventListener("click", () => act.wire({ string: number }))
  }
}

/**
 * All strings at once: usual orders, the search, how many strings, the size of blocks, where the box is, which cable.
 * @param {Roof.Palette} palette
 * @param {Roof.Store} d
 */
function orders(palette, d) {
  const { options, words: { wire: words }, act, word } = palette
  const { wire, plan, now } = d
  const mounted = /** @type {Roof.Mounted} */ (plan.mounted)
  const holding = placesOf(d)
  const strings = wire.strings || plan.strings.length
  const row = word.fields
  const group = html("div", { class: "chips", role: "group", "aria-label": words.all_strings }, options)
  const list = /** @type {HTMLSelectElement} */ (html("select", { class: "input order", "data-name": "order", "aria-label": words.order }, group))
  const { blocks, ...rest } = words.orders
  for (const [name, text] of Object.entries(rest)) html("option", { value: name, text }, list)
  for (const [rows, columns] of blocksOf(Math.ceil(holding / strings))) {
    html("option", { value: `blocks ${rows} ${columns}`, text: fitted(blocks, { rows, columns }) }, list)
  }
  html("option", { value: SEARCH, text: words.shortest }, list)
  list.value = [...list.options].some((one) => one.value === wire.order) ? wire.order : list.options[0].value
  list.addEventListener("change", () => { wire.order = list.value })
  const [name, text] = now.searching ? ["stop-search", words.stop] : ["wire-so", words.wire_so]
  const button = html("button", { type: "button", class: "button button--edge", "data-name": name, text }, group)
  button.addEventListener("click", () => {
    if (now.searching) act.say({ do: "stop-search" })
    else if (list.value === SEARCH) act.say({ do: "shortest", strings })
    else {
      const [, order, rows, columns] = /** @type {RegExpExecArray} */ (/^(.*?)(?: (\d+) (\d+))?$/.exec(list.value))
      act.say({ do: "usual", name: order, strings, rows: Number(rows ?? 1), columns: Number(columns ?? 1) })
    }
  })
  /** @type {(name: string, label: string, value: number, bounds: { least: number, most: number, unit?: string, whole?: boolean }, done: (value: number) => void, title?: string) => void} */
  const field = (name, label, value, bounds, done, title = label) => {
    const box = html("label", { class: "sized", title }, row)
    html("span", { class: "label", text: label }, box)
    const input = /** @type {HTMLInputElement} */ (html("input", { class: "input", type: "text", inputmode: "decimal", "data-name": `wire-${name}`, value: plain(value) }, box))
    put(input, "aria-label", bounds.unit ? `${title}, ${bounds.unit}` : title)
    commit(input, bounds, palette, done)
    if (bounds.unit && name !== "x") html("span", { text: bounds.unit }, box)
  }
  const whole = { least: 1, most: MOST_STRINGS, whole: true }
  field("strings", words.strings, strings, whole, (value) => act.wire({ strings: value }), words.strings_title)
  const where = html("button", { type: "button", class: "chip", "data-name": "box", title: words.box_keys, "aria-description": words.box_keys, text: words.box }, row)
  where.addEventListener("keydown", (event) => {
    if (!act.boxKey(event)) return
    event.preventDefault()
    event.stopPropagation()
  })
  const bounds = { least: -1000, most: 1000, unit: "m" }
  /** @type {(change: { x?: number, y?: number }) => void} */
  const move = (change) => {
    const now = /** @type {Roof.Mounted} */ (d.plan.mounted).box
    act.say({ do: "box", x: now.x / 1000, y: now.y / 1000, ...change })
  }
  field("x", "x", mounted.box.x / 1000, bounds, (value) => move({ x: value }), words.box_x)
  field("y", "y", mounted.box.y / 1000, bounds, (value) => move({ y: value }), words.box_y)
  const cable = html("label", { class: "sized", title: words.section }, row)
  const section = /** @type {HTMLSelectElement} */ (html("select", { class: "input section", "data-name": "section", "aria-label": words.section }, cable))
  for (const size of words.sections) html("option", { value: size, text: `${plain(size)} mm²`, selected: size === now.section }, section)
  section.addEventListener("change", () => act.say({ do: "section", section: Number(section.value) }))
  const side = html("button", { type: "button", class: "chip", "aria-pressed": String(wire.side), "data-name": "side", text: words.side }, row)
  side.addEventListener("click", () => act.wire({ side: !wire.side }))
}

/** The sign of the tool: three modules with a line through them.
 * @param {Element} parent */
export function wireSign(parent) {
  svg("path", { d: "M3 4h4v5H3zM8 11h4v5H8zM13 4h4v5h-4zM5 9c0 4 1 5 3 5M12 13c2 0 3-1 3-4" }, parent)
}
