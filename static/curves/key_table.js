// @ts-check
// The key figures of the curves below them: now, before, and what changed.

import { html } from "./labels.js"

/** @param {Curves.DeskWords} words */
export function makeKeyTable(words) {
  const element = html("table", { class: "key" })
  let drawn = ""

  /** @param {Curves.KeyFigure} one */
  const heading = (one) => html("th", { scope: "col", title: one.name }, one.symbol[0],
    one.symbol[1] ? html("sub", {}, one.symbol[1]) : null, one.unit ? html("span", { class: "unit" }, ` ${one.unit}`) : null)
  /** @param {Curves.KeyFigure} one */
  const signed = (one) => `${one.key} ${one.sign < 0 ? "fall" : one.sign > 0 ? "rise" : ""}`

  /** @param {Pick<Curves.Shown, "key" | "keyCompared" | "caption">} shown */
  const show = ({ key, keyCompared, caption }) => {
    const now = JSON.stringify([key, keyCompared])
    if (now === drawn) return
    drawn = now
    /** @type {(name: "now" | "before" | "change" | "percent", style?: (one: Curves.KeyFigure) => string) => HTMLElement} */
    const row = (name, style) => html("tr", { class: name }, html("th", { scope: "row" }, words[name]),
      ...key.map((one) => html("td", style ? { class: style(one) } : {}, one[name] ?? "")))
    element.replaceChildren(html("caption", { class: "hidden" }, caption),
      html("thead", {}, html("tr", {}, html("th", { scope: "col" }, html("span", { class: "hidden" }, words.row)), ...key.map(heading))),
      html("tbody", {}, row("now"), ...(keyCompared ? [row("before"), row("change", signed), row("percent", signed)] : [])))
  }
  return { element, show }
}
