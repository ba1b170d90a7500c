// @ts-check
// Curves as tables of points, in place of the figures, and the sum of the construction for those who do not see it.

import { plain } from "../shared/number.js"
import { html } from "./labels.js"

/** @param {Curves.PointTable} table */
const pointTable = ({ caption, groups, columns, rows }) => html("table", { class: columns.length ? "many" : "" },
  html("caption", {}, caption),
  html("thead", {},
    html("tr", {}, ...groups.map(([name, span]) => html("th", { scope: span > 1 ? "colgroup" : "col", colspan: span }, name))),
    columns.length ? html("tr", { class: "below" }, ...columns.map((name) => html(name ? "th" : "td", name ? { scope: "col" } : {}, name))) : null),
  html("tbody", {}, ...rows.map((row) => html("tr", { class: row.name ? "named" : "" },
    html("th", { scope: "row" }, row.name ? html("span", { class: "name" }, row.name) : null, row.cells[0]),
    ...row.cells.slice(1).map((cell) => html("td", {}, cell))))))

/** The tables, where they are what is shown. */
export function makeTableSheet() {
  const element = html("div", { class: "sheet", role: "region", tabindex: "0" })
  return {
    element,
    /** @param {Curves.Shown} shown */
    show({ view, tables }) {
      element.hidden = view !== "table"
      if (element.hidden) return
      element.setAttribute("aria-label", tables.map((one) => one.caption).join(", "))
      const top = element.scrollTop
      element.replaceChildren(...tables.map(pointTable))
      element.scrollTop = top
    },
  }
}

/** The bars of the construction as a table.
 * @param {Curves.DeskWords} words */
export function makeSumTable(words) {
  const element = html("table", { class: "hidden" })
  /** @param {string[]} texts */
  const row = ([label, from, to]) => html("tr", {}, html("th", { scope: "row" }, label), html("td", {}, from), html("td", {}, to))
  /** @param {number} value */
  const told = (value) => plain(value, 4)
  return {
    element,
    /** @param {Curves.Shown} shown */
    show({ view, parts }) {
      const seen = view === "parts" && parts
      element.style.display = seen ? "" : "none"
      if (!seen) return
      element.replaceChildren(html("caption", {}, words.sum),
        html("thead", {}, html("tr", {}, ...[words.sum_part, words.sum_from, words.sum_to].map((name) => html("th", { scope: "col" }, name)))),
        html("tbody", {}, ...seen.rows.map((one) => row([one.label, told(one.from), told(one.to)])),
          row([seen.totalLabel, "0", told(seen.total)])))
    },
  }
}
