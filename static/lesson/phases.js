// @ts-check
// The four phases of a step: predict, act, observe, explain.

import { el, icon } from "../shared/elements.js"
import { inTab } from "../shared/keep.js"
import { form, given } from "./question.js"

const LOCK = "M5 9V6.500a5 5 0 0 1 10 0V9M3.500 9h13v8.500h-13z"
const SIGN = "M10 2.500 18.500 17.500h-17zM10 8v4.500M10 14.800v.4"

/** @param {string} html */
const prose = html => el("div", { class: "prose", html })

/** @type {(text: string, words: Lesson.Words) => HTMLElement | null} */
const idea = (text, words) => text ? el("p", { class: "idea" }, el("span", { class: "caps" }, words.idea), el("q", {}, text)) : null

/** @type {(one: Lesson.Verdict, words: Lesson.Words, ...middle: HTMLElement[]) => HTMLElement} */
const verdict = (one, words, ...middle) => el("div", { class: `verdict verdict--${one.right ? "right" : "wrong"}` },
  el("p", { class: "verdict__mark" }, one.mark), ...middle, idea(one.idea, words), one.html ? prose(one.html) : null)

/** An answer held against the solver's.
 * @type {(one: Lesson.Reckoning, words: Lesson.Words) => HTMLElement} */
export const reckoning = (one, words) => verdict(one, words, el("dl", { class: "reckoning" },
  el("dt", {}, one.said_label), el("dd", { html: one.said }),
  ...(one.found ? [el("dt", {}, one.found_label), el("dd", { html: one.found })] : [])))

// What the act is done with may be far away on a phone: the panel comes, or the drawing.
/** @param {string} panel */
const reach = panel => {
  if (panel) { document.dispatchEvent(new CustomEvent("pvsim:open", { detail: panel })); return }
  const roof = document.getElementById("roof")
  roof?.scrollIntoView({ block: "start" })
  roof?.focus({ preventScroll: true })
}

/** @type {(label: string, act: string, press: () => void, more?: string) => HTMLElement} */
const button = (label, act, press, more = "") =>
  el("button", { class: `button button--edge${more}`, type: "button", "data-act": act, onclick: press }, label)

// A search that was begun goes on, also on a page that was loaded anew: its tab has kept it.
/** @type {(one: Lesson.Doing["control"], send: Lesson.Sheet["send"]) => HTMLElement} */
const control = ({ text, panel, wish }, send) => wish
  ? button(text, wish, () => send(wish, inTab.get("search")))
  : button(text, "reach", () => reach(panel), " reach")

/** @type {(part: Lesson.Predict, sheet: Lesson.Sheet) => (HTMLElement | null)[]} */
const predict = (part, sheet) => [
  el("div", { class: "prose", id: "predict-question", html: part.html }),
  part.state === "open" ? form(part, "predict", sheet) : given(part),
  part.state === "open" ? el("p", { class: "lock" }, icon(LOCK), part.lock) : null,
]

/** @type {(part: Lesson.Doing, sheet: Lesson.Sheet) => (HTMLElement | null)[]} */
const act = (part, { words, send }) => [
  ...part.cautions.map(text => el("p", { class: "caution" }, icon(SIGN),
    el("span", {}, el("b", {}, `${words.caution}. `), text))),
  prose(part.html),
  el("div", { class: "row" },
    el("span", { class: `tick tick--${part.done ? "done" : "open"}` }, part.status),
    part.reason ? el("span", { class: "reason" }, part.reason) : null,
    !part.done && part.control ? control(part.control, send) : null,
    !part.done ? button(words.do, "do", () => send("do")) : null),
]

/** @type {(one: Lesson.Shown) => HTMLElement} */
const shown = one => el("div", { class: "verdict verdict--shown" },
  el("p", {}, el("span", { class: "caps" }, one.label), " ", el("strong", { html: one.html })),
  one.where.length ? el("p", { class: "where" }, el("span", { class: "caps" }, one.where_label),
    ...one.where.map(spot => el("span", { class: "where__one" }, spot))) : null)

/** @type {(part: Lesson.Observe, sheet: Lesson.Sheet) => (HTMLElement | null)[]} */
const observe = (part, sheet) => [
  el("div", { class: "prose", id: "observe-question", html: part.html }),
  part.settled && part.verdict?.right ? given(part) : null,
  part.settled ? null : form(part, "observe", sheet),
  part.verdict ? el("div", { id: "observe-verdict" }, verdict(part.verdict, sheet.words)) : null,
  part.shown ? shown(part.shown) : null,
  part.may_skip ? el("div", { class: "row" }, button(sheet.words.show, "settle", () => sheet.send("settle"))) : null,
]

/** @type {(part: Lesson.Explain, sheet: Lesson.Sheet) => (HTMLElement | null)[]} */
const explain = (part, { words }) => [part.prediction ? reckoning(part.prediction, words) : null, prose(part.html)]

/** @type {(part: Lesson.Phase, sheet: Lesson.Sheet) => (HTMLElement | null)[]} */
const inside = (part, sheet) => {
  switch (part.name) {
    case "predict": return predict(part, sheet)
    case "act": return act(part, sheet)
    case "observe": return observe(part, sheet)
    default: return explain(part, sheet)
  }
}

/** One phase: waiting, open or done.
 * @type {(part: Lesson.Phase, sheet: Lesson.Sheet) => HTMLElement} */
export const phase = (part, sheet) => sheet.keep(`part-${part.name}`, part, () => {
  const waiting = part.state === "waiting"
  const title = el("h5", { class: "phase__title", tabindex: "-1", id: `phase-${part.name}` },
    el("span", { class: "phase__number", "aria-hidden": "true" }, String(part.order)), el("span", { class: "caps" }, part.label),
    waiting ? el("span", { class: "phase__hint" }, part.hint) : null)
  return el("section", { class: `phase phase--${part.state}`, "data-phase": part.name, "aria-labelledby": title.id },
    title, waiting ? null : el("div", { class: "phase__body" }, ...inside(part, sheet)))
})
