// @ts-check
// Curves as tables of points, in place of the figures, above them what meters would notice, and the sum of the
// construction for those who do not see it.

import { el } from "../shared/elements.js"
import { plain } from "../shared/number.js"

/** @param {Curves.PointTable} table */
const pointTable = ({ caption, groups, columns, rows, words }) => el("table", { class: words ? "words" : columns.length ? "many" : "" },
  el("caption", {}, caption),
  el("thead", {},
    el("tr", {}, ...groups.map(([name, span]) => el("th", { scope: span > 1 ? "colgroup" : "col", colspan: span }, name))),
    columns.length ? el("tr", { class: "below" }, ...columns.map((name) => el(name ? "th" : "td", name ? { scope: "col" } : {}, name))) : null),
  el("tbody", {}, ...rows.map((row) => el("tr", { class: row.name ? "named" : "" },
    el("th", { scope: "row" }, row.name ? el("span", { class: "name" }, row.name) : null, row.cells[0]),
    ...row.cells.slice(1).map((cell) => el("td", {}, cell))))))

/** @param {NonNullable<Curves.Shown["notice"]>} notice */
const noticed = ({ said, figure, large }) => el("section", { class: "noticed" },
  el("p", {}, said), el("div", { class: large ? "axis large" : "axis", html: figure }))    // drawn and escaped by pvsim.files.figure.svg

/** The tables, where they are what is shown. */
export function makeTableSheet() {
  const element = el("div", { class: "sheet", role: "region", tabindex: "0" })
  return {
    element,
    /** @param {Curves.Shown} shown */
    show({ view, tables, notice }) {
      element.hidden = view !== "table"
      if (element.hidden) return
      element.setAttribute("aria-label", tables.map((one) => one.caption).join(", "))
      const top = element.scrollTop
      element.replaceChildren(...notice ? [noticed(notice)] : [], ...tables.map(pointTable))
      element.scrollTop = top
    },
  }
}

/** The bars of the construction as a table.
 * @param {Curves.DeskWords} words */
export function makeSumTable(words) {
  const element = el("table", { class: "hidden" })
  /** @param {string[]} texts */
  const row = ([label, from, to]) => el("tr", {}, el("th", { scope: "row" }, label), el("td", {}, from), el("td", {}, to))
  /** @param {number} value */
  const told = (value) => plain(value, 4)
  return {
    element,
    /** @param {Curves.Shown} shown */
    show({ view, parts }) {
      const seen = view === "parts" && parts
      element.style.display = seen ? "" : "none"
      if (!seen) return
      element.replaceChildren(el("caption", {}, words.sum),
        el("thead", {}, el("tr", {}, ...[words.sum_part, words.sum_from, words.sum_to].map((name) => el("th", { scope: "col" }, name)))),
        el("tbody", {}, ...seen.rows.map((one) => row([one.label, told(one.from), told(one.to)])),
          row([seen.totalLabel, "0", told(seen.total)])))
    },
  }
}
