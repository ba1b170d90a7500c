// @ts-check
// A measured curve over the model's: the figure, its table, key figures, classes of deviation.

import { el } from "../shared/elements.js"

/** @param {Traced.Words} words */
export function makeLaid(words) {
  const element = el("div", { class: "traced-laid", hidden: true })
  return {
    element,
    clear() {
      element.hidden = true
      element.replaceChildren()
    },
    /** @param {Traced.Laid} laid */
    show({ said, doubt, figure, legend, points, figures, correction, shapes }) {
      element.replaceChildren(...[
        el("p", { role: "status" }, said),
        doubt ? el("p", { class: "traced-doubt" }, doubt) : null,
        el("figure", { class: "traced-figure" },
          el("ul", { class: "traced-key" }, ...legend.map(([role, text]) => el("li", { class: `traced-key--${role}` }, text))),
          el("div", { html: figure })),
        behind(words.points, makeTable(points)),
        makeTable(figures),
        correction ? behind(words.correction, makeTable(correction), correction.note ? el("p", { class: "small" }, correction.note) : null) : null,
        el("h4", {}, words.shapes),
        el("p", {}, shapes.said),
        makeShapes(shapes),
      ].filter(one => one !== null))
      element.hidden = false
    },
  }
}

/** @type {(title: string, ...inside: (HTMLElement | null)[]) => HTMLElement} */
const behind = (title, ...inside) => el("details", { class: "traced-behind" }, el("summary", {}, title), ...inside)

/** @type {(table: Traced.Table) => HTMLElement} */
const makeTable = ({ caption, head, rows }) => el("div", { class: "traced-scroll", tabindex: 0, role: "group", "aria-label": caption },
  el("table", { class: "figures" },
    el("caption", {}, caption),
    el("thead", {}, el("tr", {}, ...head.map((text, k) => (k || text ? el("th", { scope: "col" }, text) : el("td"))))),
    el("tbody", {}, ...rows.map(([name, ...cells]) => el("tr", {}, el("th", { scope: "row" }, name), ...cells.map(text => el("td", {}, text)))))))

/** Six rows, each with what was looked at; those that are named say what usually makes them.
 * @type {(shapes: Traced.Shapes) => HTMLElement} */
const makeShapes = ({ caption, head, rows }) => el("div", { class: "traced-scroll", tabindex: 0, role: "group", "aria-label": caption },
  el("table", { class: "figures traced-shapes" },
    el("caption", {}, caption),
    el("thead", {}, el("tr", {}, ...head.map(text => (text ? el("th", { scope: "col" }, text) : el("td"))))),
    el("tbody", {}, ...rows.map(one => el("tr", { class: one.named ? "traced-named" : null },
      el("th", { scope: "row" }, one.title, el("span", { class: "quiet small" }, one.evidence), one.sentence ? el("span", { class: "small traced-cause" }, one.sentence) : null),
      el("td", {}, one.size), el("td", {}, one.threshold), el("td", { class: "traced-verdict" }, one.verdict))))))
