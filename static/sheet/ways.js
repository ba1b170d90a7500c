// @ts-check
// The ways of joining the cells: one of them is drawn, any other can be chosen.

import { el } from "../shared/elements.js"
import { drawModule } from "./module_drawing.js"

/** @type {(ways: Sheet.Ways, words: Sheet.Words) => HTMLElement} */
export function makeWays({ legend, chosen, ways }, words) {
  const picture = el("div", { class: "drawing" })
  const text = el("p", { role: "status" })
  /** @param {Sheet.Way} way */
  const show = way => {
    picture.replaceChildren(drawModule(way, words))
    text.textContent = way.text
  }
  const rows = ways.map(way => {
    const box = el("input", { type: "radio", name: "sheet-way", value: way.name, onchange: () => show(way) })
    box.checked = way.name === chosen
    return el("label", { class: `way${way.good ? " way--good" : ""}` }, box,
      el("span", {}, way.title), el("strong", { class: "small" }, way.verdict))
  })
  show(ways.find(one => one.name === chosen) ?? ways[0])
  return el("div", { class: "ways" }, el("fieldset", {}, el("legend", { class: "quiet small" }, legend), ...rows, text), picture)
}
