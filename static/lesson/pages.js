// @ts-check
// The pages of a lesson: opening, step, closing; those of the closing test; and what stands below each, to go on with.

import { el } from "../shared/elements.js"
import { closingTest } from "./closing.js"
import { phase } from "./phases.js"

/** @type {(page: Lesson.Turning, sheet: Lesson.Sheet) => HTMLElement} */
const head = (page, { words, send, keep }) => keep("head", [page.title, page.count, page.dots], () => el("header", { class: "head" },
  el("div", { class: "above" },
    el("button", { class: "link", type: "button", "data-act": "contents", onclick: () => send("contents") }, words.contents),
    el("span", {}, page.count)),
  el("h3", { class: page.kind === "step" ? "title title--small" : "title", tabindex: "-1" }, page.title),
  el("ol", { class: "dots", "aria-label": words.steps }, ...page.dots.map(dot => el("li", {},
    el("button", {
      class: `dot dot--${dot.state}`, type: "button", title: dot.title, "aria-label": dot.title,
      "aria-current": dot.here ? "step" : null, onclick: () => send("turn", dot.page),
    }, el("span", { class: "dot__mark" }, dot.text)))))))

/** @type {(name: string, title: string, items: string[], sheet: Lesson.Sheet) => HTMLElement | null} */
const list = (name, title, items, { keep }) => items.length ? keep(name, items, () => el("section", { class: "list" },
  el("h4", { class: "caps" }, title), el("ul", {}, ...items.map(one => el("li", {}, one))))) : null

/** @type {(name: string, html: string, sheet: Lesson.Sheet) => HTMLElement | null} */
const prose = (name, html, { keep }) => html ? keep(name, html, () => el("div", { class: "prose", html })) : null

/**
 * @param {Lesson.Opening} page
 * @param {Lesson.Sheet} sheet
 */
export const openingPage = (page, sheet) => {
  const { words, send, keep } = sheet
  return [
    head(page, sheet),
    keep("question", page.question, text => el("p", { class: "question" }, text)),
    keep("minutes", page.minutes, text => el("p", { class: "quiet small" }, text)),
    prose("text", page.html, sheet),
    list("objectives", words.objectives, page.objectives, sheet),
    keep("hold", page.slug, slug => el("p", { class: "hold" }, el("button", {
      class: "link", type: "button", "data-act": "lecture", onclick: () => send("lecture", { lesson: slug }),
    }, words.lecture_this))),
  ]
}

/**
 * @param {Lesson.Closing} page
 * @param {Lesson.Sheet} sheet
 */
export const closingPage = (page, sheet) => {
  const { words, keep } = sheet
  return [
    head(page, sheet),
    prose("text", page.html, sheet),
    keep("results", page.results, results => el("section", { class: "list" },
      el("h4", { class: "caps" }, page.results_title),
      el("ol", { class: "results" }, ...results.map(one => el("li", { class: `result result--${one.mark.name}` },
        el("span", { class: "result__title" }, one.title), el("span", { class: "result__mark" }, one.mark.text)))),
      el("p", { class: "quiet small" }, page.results_note))),
    list("objectives", words.objectives, page.objectives, sheet),
    list("limits", words.limits, page.limits, sheet),
    list("sources", words.sources, page.sources, sheet),
    keep("licence", words.licence, text => el("p", { class: "licence" }, text)),
  ]
}

/**
 * @param {Lesson.Step} page
 * @param {Lesson.Sheet} sheet
 */
export const stepPage = (page, sheet) => {
  const { words, send, keep } = sheet
  return [
    head(page, sheet),
    keep("step", [page.label, page.step_title], () => el("h4", { class: "step", tabindex: "-1" },
      el("span", { class: `caps ${page.transfer ? "caps--transfer" : ""}` }, page.label), page.step_title)),
    prose("lead", page.lead, sheet),
    ...page.parts.map(part => phase(part, sheet)),
    page.restart ? keep("restart", true, () => el("p", { class: "restart" },
      el("button", { class: "link", type: "button", "data-act": "restart", onclick: () => send("restart") }, words.restart))) : null,
  ]
}

/**
 * @param {Lesson.ClosingTest} page
 * @param {Lesson.Sheet} sheet
 */
export const closingTestPage = (page, sheet) => [head(page, sheet), ...closingTest(page, sheet)]

/** A test that is being made: its title has the keys until it is there.
 * @type {(page: Lesson.ClosingMaking, sheet: Lesson.Sheet) => HTMLElement[]} */
export const closingMakingPage = (page, { words, send, keep }) => [
  keep("head", page.title, () => el("header", { class: "head" },
    el("div", { class: "above" },
      el("button", { class: "link", type: "button", "data-act": "contents", onclick: () => send("contents") }, words.contents)),
    el("h3", { class: "title", tabindex: "-1" }, page.title))),
  keep("lead", page.lead, text => el("p", { class: "question" }, text)),
]

/** Back and on.
 * @type {(page: Lesson.Turning, sheet: Lesson.Sheet) => HTMLElement} */
const turn = (page, { send, keep }) => {
  const ready = !("next_ready" in page) || page.next_ready
  return keep("turn", [page.key, page.back, page.next, ready], () => {
    const at = page.dots.findIndex(dot => dot.here)
    /** @type {(act: string, label: string, style: string, to: number) => HTMLElement} */
    const button = (act, label, style, to) => el("button", { class: `button button--${style}`, type: "button", "data-act": act, onclick: () => send("turn", to) }, label)
    return el("div", { class: "turn" },
      page.back ? button("back", `‹ ${page.back}`, "edge", at - 1) : el("span"),
      button("next", `${page.next} ›`, ready ? "main" : "edge", at + 1))
  })
}

// The bench shows another array than the text speaks of: said where it is seen, and moves no text.
/** @type {(text: string, sheet: Lesson.Sheet) => HTMLElement} */
const away = (text, { words, send, keep }) => keep("away", text, () => el("div", { class: "away" },
  el("p", {}, text), el("button", { class: "button button--edge", type: "button", "data-act": "put_back", onclick: () => send("put_back") }, words.put_back)))

/** What stands below a page of a lesson.
 * @type {(page: Lesson.Turning, sheet: Lesson.Sheet) => HTMLElement[]} */
export const footing = (page, sheet) => [
  ...(page.kind === "step" && page.away ? [away(page.away, sheet)] : []), turn(page, sheet),
]
