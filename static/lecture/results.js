// @ts-check
// What came of the questions: a table on the sheet, and on paper.

import { el } from "../shared/elements.js"
import { printPage } from "../shell/paper.js"

/** @type {(round: Lecture.ResultRound | undefined) => HTMLElement} */
const cell = round => !round ? el("td", {}, "–") : el("td", {},
  el("b", {}, round.share), " ", el("span", { class: "quiet outcome__of" }, round.of),
  round.answers.length ? el("span", { class: "tallied" }, ...round.answers.map(([letter, times, right]) =>
    el("span", { class: right ? "tallied__each tallied__each--right" : "tallied__each" }, letter, "\u202f", String(times), right ? "\u202f✓" : ""))) : null)

/**
 * @param {Lecture.Results} results
 * @param {Lecture.Hand} hand
 */
export const resultsSheet = (results, { words, send, press }) => {
  /** @type {(act: string, label: string, onclick: () => void) => HTMLElement} */
  const button = (act, label, onclick) => el("button", { type: "button", class: "button button--edge", "data-act": act, onclick }, label)
  return el("section", { class: "outcome", "aria-label": words.results },
    el("p", { class: "moment" }, words.results),
    results.invented ? el("p", {}, el("span", { class: "invented" }, words.invented)) : null,
    el("h3", { class: "title", tabindex: "-1" }, results.title),
    results.none ? el("p", {}, results.none) : el("div", { class: "outcome__wide", role: "region", tabindex: "0", "aria-label": words.results }, el("table", { class: "outcome__table" },
      el("caption", { class: "unseen" }, words.results),
      el("thead", {}, el("tr", {}, ...results.head.map(text => el("th", { scope: "col" }, text)))),
      el("tbody", {}, ...results.rows.map(row => el("tr", {},
        el("th", { scope: "row" }, el("span", { class: "outcome__step" }, row.step), row.lesson === results.title ? null : el("span", { class: "quiet" }, row.lesson), el("span", { class: "outcome__question" }, row.question)),
        el("td", {}, row.letter ? el("b", {}, `${row.letter} `) : null, row.right),
        cell(row.rounds[0]), cell(row.rounds[1]), el("td", { class: "outcome__gain" }, row.gain)))))),
    results.none ? null : el("p", { class: "quiet outcome__about" }, results.about),
    el("p", { class: "outcome__acts" },
      results.none ? null : button("results-csv", words.results_csv, () => send("results-csv")),
      results.none ? null : button("results-print", words.results_print, () => printPage("results")),
      button("results-close", words.results_close, () => press("results-close"))))
}
