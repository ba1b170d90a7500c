// @ts-check
// The line below the drawing: what to beware of, what was wrong with a number, else what the marks mean. Its room
// is that of the longest of its texts, so that none of them moves the drawing.

import { find } from "../shared/elements.js"
import { fitted, html, svg, write } from "./dom.js"

const CLEAR_PX = 12

/**
 * The line with its key of marks; every text it may say holds its place.
 * @param {Element} parent
 * @param {Roof.Words} words
 * @returns {Roof.Word}
 */
export function makeWord(parent, words) {
  const line = html("div", { class: "word" }, parent)
  const hints = Object.values(words.first_hint).map((text) => fitted(text, { percent: "100\u202f%" }))
  const told = [...Object.values(words.cautions), ...hints]
  const number = fitted(words.needs_whole, { text: "0".repeat(20), least: 1, most: 100 })
  for (const text of new Set(told)) html("p", { class: "caution ghost", "aria-hidden": "true", text }, line)
  html("p", { class: "wrong ghost", "aria-hidden": "true", text: number }, line)
  const marks = html("ul", { class: "marks-key" }, line)
  for (const [name, title] of words.marks) {
    const item = html("li", { "data-mark": name }, marks)
    drawKey(svg("svg", { viewBox: "0 0 22 16", class: "key", "aria-hidden": "true" }, item), name)
    html("span", { text: title }, item)
  }
  const fields = html("div", { class: "fields", hidden: true }, line)
  const caution = html("p", { class: "caution", role: "note", hidden: true }, line)
  const hint = html("p", { class: "first" }, line)
  return { line, marks, fields, caution, hint, wrong: null }
}

/**
 * The key of readings from before a change, where there are any.
 * @param {Roof.Word} word
 * @param {boolean} there
 */
export function keyBefore(word, there) {
  const key = find(word.marks, "[data-mark=before]")
  if (key) key.hidden = !there
}

/**
 * Say what comes first: what was wrong, else a caution, else a hint; the marks where there is nothing to say.
 * @param {Roof.Word} word
 * @param {{ hint: string, caution: string }} said
 */
export function tellWord(word, { hint, caution }) {
  const fields = word.fields.childElementCount > 0
  word.caution.hidden = !caution || !!word.wrong
  write(word.caution, caution)
  write(word.hint, word.wrong || caution ? "" : hint)
  word.fields.hidden = !fields || !!hint || !!word.wrong
  const said = !!word.wrong || !!hint || !!caution || fields
  word.marks.classList.toggle("behind", said)
  word.line.classList.toggle("said", said)
}

/**
 * On a phone the line stands over the drawing at the screen's foot: what it has come to lie on moves up from under it.
 * @param {Roof.Word} word
 * @param {Element} ring round what is meant
 */
export function keepInSight(word, ring) {
  if (getComputedStyle(word.line).position !== "sticky") return
  const line = word.line.getBoundingClientRect()
  const part = ring.getBoundingClientRect()
  const seen = part.height > 0 && part.height < line.top / 4 && part.top < line.bottom // a whole module is seen anyhow
  if (seen && part.bottom > line.top) scrollBy(0, part.bottom + CLEAR_PX - line.top)
}

/**
 * What was wrong with the number in a field; "" when it can be used.
 * @param {Roof.Word} word
 * @param {string} id
 * @param {string} text
 */
export function tellWrong(word, id, text) {
  if (!text && word.wrong?.id !== id) return
  word.wrong?.remove()
  word.wrong = text ? html("p", { class: "wrong", role: "alert", id, text }, word.line) : null
}

/**
 * @param {Element} image
 * @param {string} name
 */
function drawKey(image, name) {
  if (name === "eats") {
    svg("rect", { class: "key-cell", x: 3, y: 0.5, width: 15, height: 15, rx: 2 }, image)
    svg("path", { class: "key-hatch", d: "M3 8L11 0M3 15L18 0M10 15.500L18 8" }, image)
    svg("path", { class: "key-eats", d: "M11 9.500h6l-3 4z" }, image)
  } else if (name === "shaded") {
    svg("rect", { class: "key-cell", x: 3, y: 0.5, width: 15, height: 15, rx: 2 }, image)
    svg("path", { class: "key-veil", d: "M5 4h.1M9 4h.1M13 4h.1M7 8h.1M11 8h.1M15 8h.1M5 12h.1M9 12h.1M13 12h.1" }, image)
  } else if (name === "on") svg("path", { class: "key-on", d: "M1 8H21M7 3V13L15 8ZM15 2.500V13.500" }, image)
  else if (name === "before") svg("rect", { class: "key-before", x: 1, y: 3, width: 20, height: 10, rx: 3 }, image)
  else svg("path", { class: "key-cross", d: "M6 3L16 13M16 3L6 13" }, image)
}
