// @ts-check
// The closing test: what it draws on, a question and what came of it, the result.

import { el } from "../shared/elements.js"
import { reckoning } from "./phases.js"
import { form, given } from "./question.js"

/** @type {(html: string) => HTMLElement} */
const prose = html => el("div", { class: "prose", html })

/** A numbered part, as the phases of a step are.
 * @type {(order: number, label: string, state: string, ...inside: (HTMLElement | null)[]) => HTMLElement} */
const part = (order, label, state, ...inside) => {
  const title = el("h4", { class: "phase__title", tabindex: "-1", id: `closing-part-${order}` },
    el("span", { class: "phase__number", "aria-hidden": "true" }, String(order)), el("span", { class: "caps" }, label))
  return el("section", { class: `phase phase--${state}`, "data-phase": `closing-${order}`, "aria-labelledby": title.id },
    title, el("div", { class: "phase__body" }, ...inside))
}

// The ideas to revisit, each lesson with the way back to it.
/** @type {(lists: Lesson.Revisited[], sheet: Lesson.Sheet) => HTMLElement | null} */
const revisit = (lists, { words, send, keep }) => lists.length ? keep("revisit", lists, all => el("section", { class: "list" },
  el("h4", { class: "caps" }, words.revisit),
  el("ul", { class: "revisit" }, ...all.map(one => el("li", {},
    el("button", { class: "link", type: "button", "aria-label": `${words.open_lesson}: ${one.title}`, onclick: () => send("open", one.slug) }, one.title),
    el("ul", {}, ...one.ideas.map(idea => el("li", {}, el("q", {}, idea))))))))) : null

// Made by the server and saved by the browser: it takes a moment, which the status line tells.
/** @type {(label: string, what: string, sheet: Lesson.Sheet) => HTMLElement} */
const print = (label, what, sheet) => el("button", {
  class: "link", type: "button", "data-act": `closing_paper_${what}`, onclick: () => sheet.send("closing_paper", what),
}, label)

/** @type {(page: Lesson.ClosingOpening, sheet: Lesson.Sheet) => (HTMLElement | null)[]} */
const opening = (page, sheet) => [
  sheet.keep("lead", [page.lead, page.note, page.aid], () => el("div", { class: "prose" },
    el("p", { class: "question" }, page.lead), el("p", {}, page.note), el("p", { class: "quiet small" }, page.aid))),
  revisit(page.lists, sheet),
  sheet.keep("paper", page.paper, paper => el("section", { class: "list" },
    el("h4", { class: "caps" }, paper.title), el("p", { class: "quiet small" }, paper.note),
    el("div", { class: "row" }, print(paper.test, "test", sheet), print(paper.solution, "solution", sheet)))),
]

/** @type {(page: Lesson.ClosingQuestion, sheet: Lesson.Sheet) => (HTMLElement | null)[]} */
const question = (page, sheet) => [
  sheet.keep("from", page.from, text => el("p", { class: "quiet small" }, text)),
  page.gone ? sheet.keep("gone", page.gone, text => el("p", { class: "prose" }, text)) : null,
  page.part ? sheet.keep("part", page.part, asking => part(1, asking.label, asking.state,
    el("div", { class: "prose", id: "closing-question", html: asking.html }),
    asking.state === "open" ? form(asking, "closing_answer", sheet) : given(asking))) : null,
  page.verdict ? sheet.keep("verdict", [page.verdict, page.solution], () => part(2, page.verdict_label, "open",
    page.verdict ? reckoning(page.verdict, sheet.words) : null, page.solution ? prose(page.solution) : null)) : null,
]

/** @type {(page: Lesson.ClosingResult, sheet: Lesson.Sheet) => (HTMLElement | null)[]} */
const result = (page, sheet) => [
  sheet.keep("total", page.total, text => el("p", { class: "question" }, text)),
  sheet.keep("results", [page.results, page.note], () => el("section", { class: "list" },
    el("h4", { class: "caps" }, page.results_title),
    el("ol", { class: "results" }, ...page.results.map(one => el("li", { class: `result result--${one.mark.name}` },
      el("span", { class: "result__title" }, one.title), el("span", { class: "result__mark" }, one.mark.text)))),
    page.note ? el("p", { class: "quiet small" }, page.note) : null)),
  revisit(page.lists, sheet),
  page.empty ? sheet.keep("empty", page.empty, text => el("p", { class: "prose" }, text)) : null,
  page.anew ? sheet.keep("anew", page.anew, text => el("p", {}, el("button", {
    class: "button button--edge", type: "button", "data-act": "closing_anew", onclick: () => sheet.send("closing_anew"),
  }, text))) : null,
]

/** What stands below the title of a page of the test.
 * @type {(page: Lesson.ClosingTest, sheet: Lesson.Sheet) => (HTMLElement | null)[]} */
export const closingTest = (page, sheet) => {
  switch (page.stage) {
    case "opening": return opening(page, sheet)
    case "question": return question(page, sheet)
    default: return result(page, sheet)
  }
}
