// @ts-check
// Five levels at once: a table whose bars show what is left of each level's power.

import { el } from "../shared/elements.js"
import { lastWord, makeOutbox } from "../shared/outbox.js"
import { hearRadioKeys } from "../shared/radio_keys.js"

/** The bar of one level: how much of its power there was and is.
 * @typedef {ReturnType<typeof makeRow>} Row */

/** @param {{ model: Curves.LadderModel }} component */
export function render({ model }) {
  const outbox = makeOutbox(model, { merge: lastWord })
  const { words } = model
  const line = el("span", { class: "line" })
  const fold = el("summary", {}, el("span", { class: "title" }, words.title), line)
  const measures = el("div", { class: "measures", role: "radiogroup", "aria-label": words.measure })
  const table = el("table")
  const details = el("details", {}, fold, measures, table)
  const root = el("div", { class: "five" }, details)
  const fold_right = () => { details.open = model.opened || innerHeight >= 900 }
  fold_right()
  document.addEventListener("pvsim:right", fold_right)
  model.on("remove", () => {
    document.removeEventListener("pvsim:right", fold_right)
    outbox.close()
  })
  fold.addEventListener("click", () => outbox.say({ do: "opened", value: !details.open }))    // before it turns

  const radios = words.measures.map(({ key, label, title }) => {
    const press = () => outbox.say({ do: "measure", value: key })
    return { key, button: el("button", { type: "button", role: "radio", title, onclick: press }, label) }
  })
  measures.append(...radios.map((one) => one.button))
  hearRadioKeys(measures)

  // Rows are built once and filled again, so that focus stays where it is.
  const head = el("tr", {}, ...words.columns.map((name) => el("th", { scope: "col" }, name)))
  const body = el("tbody")
  table.append(el("caption", { class: "unseen" }, words.caption), el("thead", {}, head), body)
  /** @type {Row[]} */
  const rows = []
  const add = () => {
    const made = makeRow(words.show, (level) => outbox.say({ do: "level", value: level }))
    body.append(made.tr)
    rows.push(made)
  }

  const show = () => {
    const { shown } = model
    while (rows.length < shown.rows.length) add()
    for (const { key, button } of radios) {
      button.setAttribute("aria-checked", String(key === shown.measure))
      button.tabIndex = key === shown.measure ? 0 : -1
    }
    shown.rows.forEach((one, k) => fillRow(rows[k], one, shown))
    table.classList.toggle("single", !shown.compared)
    // Where nothing has changed there is nothing to say.
    const steps = shown.compared && shown.changed ? shown.rows : []
    line.replaceChildren(...steps.map((one, k, all) => step(one, k, all.length - 1, words)))
  }
  model.on("shown", show)
  model.on("opened", () => { details.open = model.opened })
  show()
  return root
}

/** What has changed at one level, for the line that all five stand in.
 * @type {(one: Curves.Rung, k: number, last: number, words: Curves.LadderWords) => HTMLElement} */
function step(one, k, last, words) {
  const unit = k < last ? /\s%$/ : ""    // said once, so that all five fit in one line
  /** @param {string} name */
  const end = (name) => el("span", { class: "end" }, name)    // where there is room
  return el("span", { class: "step", title: one.place },
    k ? null : end(`${words.first} `), el("b", {}, one.short.replace(unit, "")), k < last ? null : end(` ${words.last}`))
}

/**
 * @param {string} title of its button
 * @param {(level: string | undefined) => void} press
 */
function makeRow(title, press) {
  const button = el("button", { type: "button", title })
  button.addEventListener("click", () => press(button.dataset.level))
  /** @param {string} name */
  const mark = (name) => el("i", { class: name })
  const was = mark("was"), lost = mark("lost"), is = mark("is"), zero = mark("zero"), beyond = mark("beyond")
  const track = el("div", { class: "track", "aria-hidden": "true" }, was, lost, is, zero, beyond)
  const cells = [0, 1, 2, 3].map(() => el("td"))
  const tr = el("tr", {}, el("th", { scope: "row" }, button), el("td", { class: "bar" }, track), ...cells)
  return { tr, button, was, lost, is, zero, beyond, cells }
}

/** @type {(row: Row, one: Curves.Rung, ladder: Curves.Ladder) => void} */
function fillRow({ tr, button, was, lost, is, zero, beyond, cells }, one, ladder) {
  button.textContent = one.label
  button.dataset.level = one.level
  button.setAttribute("aria-current", String(one.level === ladder.level))
  tr.title = one.place
  span(was, ladder.zero, one.was)
  span(is, ladder.zero, one.end)
  span(lost, Math.max(ladder.zero, Math.min(one.end, one.was)), Math.max(ladder.zero, one.was))
  is.classList.toggle("eats", one.end < ladder.zero)
  lost.hidden = one.end >= one.was || one.was <= ladder.zero
  zero.style.left = `${ladder.zero}%`
  beyond.hidden = !one.beyond
  beyond.textContent = one.beyond < 0 ? "◂" : "▸"
  beyond.style.left = one.beyond < 0 ? "0" : "auto"
  beyond.style.right = one.beyond > 0 ? "0" : "auto"
  const texts = [one.before, one.now, one.change, one.percent]
  cells.forEach((cell, n) => { cell.textContent = texts[n] })
  for (const cell of cells.slice(2)) cell.className = one.sign < 0 ? "fall" : one.sign > 0 ? "rise" : ""
}

/** @type {(node: HTMLElement, a: number, b: number) => void} */
function span(node, a, b) {
  node.style.left = `${Math.min(a, b)}%`
  node.style.width = `${Math.abs(b - a)}%`
}
