// @ts-check
// The key figures of the curves below them: now, before, and what changed.

import { el } from "../shared/elements.js"

/** @param {Curves.DeskWords} words */
export function makeKeyTable(words) {
  const element = el("table", { class: "key" })
  let drawn = ""

  /** @param {Curves.KeyFigure} one */
  const heading = (one) => el("th", { scope: "col", title: one.name }, one.symbol[0],
    one.symbol[1] ? el("sub", {}, one.symbol[1]) : null, one.unit ? el("span", { class: "unit" }, ` ${one.unit}`) : null)
  /** @param {Curves.KeyFigure} one */
  const signed = (one) => `${one.key} ${one.sign < 0 ? "fall" : one.sign > 0 ? "rise" : ""}`

  /** @param {Pick<Curves.Shown, "key" | "keyCompared" | "caption">} shown */
  const show = ({ key, keyCompared, caption }) => {
    const now = JSON.stringify([key, keyCompared])
    if (now === drawn) return
    drawn = now
    /** @type {(name: "now" | "before" | "change" | "percent", style?: (one: Curves.KeyFigure) => string) => HTMLElement} */
    const row = (name, style) => el("tr", { class: name }, el("th", { scope: "row" }, words[name]),
      ...key.map((one) => el("td", style ? { class: style(one) } : {}, one[name] ?? "")))
    element.replaceChildren(el("caption", { class: "hidden" }, caption),
      el("thead", {}, el("tr", {}, el("th", { scope: "col" }, el("span", { class: "hidden" }, words.row)), ...key.map(heading))),
      el("tbody", {}, row("now"), ...(keyCompared ? [row("before"), row("change", signed), row("percent", signed)] : [])))
  }
  return { element, show }
}
