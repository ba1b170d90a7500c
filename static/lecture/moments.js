// @ts-check
// What stands on the sheet at each moment of a lecture.

import { el, icon } from "../shared/elements.js"
import { inTab } from "../shared/keep.js"
import { chartFigure, choices, handsField } from "./answers.js"
import { roomButton } from "./join.js"

const SIGN = "M10 2.500 18.500 17.500h-17zM10 8v4.500M10 14.800v.4"
const LOCK = "M5 9V6.500a5 5 0 0 1 10 0V9M3.500 9h13v8.500h-13z"

/** @typedef {(HTMLElement | null)[]} Parts */

/** @type {(name: string, text: string | undefined) => HTMLElement | null} */
const prose = (name, text) => text ? el("div", { class: `prose ${name}`, html: text }) : null

/** @type {(act: string, label: string, style: string, hand: Lecture.Hand) => HTMLElement} */
const button = (act, label, style, { press }) =>
  el("button", { class: `button ${style}`, type: "button", "data-act": act, onclick: () => press(act) }, label)

/** @type {(page: Lecture.Cue, hand: Lecture.Hand) => Parts} */
const opening = page => [el("p", { class: "question" }, page.question), prose("", page.html)]

/** @type {(page: Lecture.Cue, hand: Lecture.Hand) => Parts} */
const ask = (page, hand) => {
  const { room, chart } = page
  return [
    chart ? null : prose("lead", page.lead),     // bars take the room of what the class has read already
    prose("question", page.html), choices(page, hand), chartFigure(page, hand.words),
    chart ? null : el("div", { class: "hands-row" },
      page.hands ? handsField(page.hands, hand) : null, page.counted ? el("p", { class: "counted" }, page.counted) : null),
    room.code ? roomButton(room, Boolean(chart), hand) : null,
    page.lock && !chart ? el("p", { class: "lock" }, icon(LOCK), page.lock) : null,
  ]
}

/** A search goes on with what the tab has kept of it.
 * @type {(hand: Lecture.Hand) => HTMLElement} */
const seek = ({ words, press }) =>
  el("button", { class: "button button--main", type: "button", "data-act": "seek", onclick: () => press("seek", inTab.get("search")) }, words.seek)

/** @type {(page: Lecture.Cue, hand: Lecture.Hand) => Parts} */
const act = (page, hand) => [
  ...(page.cautions ?? []).map(text => el("p", { class: "caution" }, icon(SIGN), el("span", {}, el("b", {}, `${hand.words.caution}. `), text))),
  prose("question", page.html),
  el("p", { class: `status status--${page.done ? "done" : page.locked ? "locked" : "open"}` }, page.locked ? icon(LOCK) : null, page.status),
  page.may_do ? el("p", { class: "row" }, page.seek ? seek(hand) : null, button("do", page.seek ? hand.words.show_fault : hand.words.do, "button--edge", hand)) : null,
]

/** @type {(page: Lecture.Cue, hand: Lecture.Hand) => Parts} */
const look = (page, hand) => [
  prose("question", page.html), choices(page, hand),
  page.answer ? el("p", { class: "answer" }, page.answer) : null, prose("feedback", page.feedback),
]

/** @type {(page: Lecture.Cue, hand: Lecture.Hand) => Parts} */
const explain = (page, hand) => [
  page.foreseen ? el("p", { class: "foreseen" }, page.foreseen) : null,
  page.chart ? el("div", { class: "held" }, choices(page, hand), chartFigure(page, hand.words)) : null,
  page.idea ? el("div", { class: "idea" },
    el("p", {}, el("span", { class: "caps" }, hand.words.idea), " ",
      page.idea_of ? el("span", { class: "letter letter--inline" }, page.idea_of) : null, el("q", {}, page.idea)),
    prose("", page.idea_html)) : null,
  prose("", page.html),
]

/** @type {(page: Lecture.Cue, hand: Lecture.Hand) => Parts} */
const closing = (page, hand) => [
  prose("", page.html),
  page.list?.length ? el("section", { class: "limits" }, el("h4", { class: "caps" }, page.list_title), el("ul", {}, ...page.list.map(one => el("li", {}, one)))) : null,
  el("div", { class: "row" }, button("save", hand.words.save, "link", hand), button("results", hand.words.results, "link", hand), button("search", hand.words.search, "link", hand)),
]

const MOMENTS = { opening, ask, act, look, explain, closing }

/**
 * All that stands there, with what is above it at every moment.
 * @param {Lecture.Cue} page
 * @param {Lecture.Hand} hand
 * @returns {Parts}
 */
export const cueSheet = (page, hand) => [
  el("p", { class: "moment" }, page.label, page.number ? el("span", { class: "quiet" }, ` · ${page.number}`) : null,
    page.away ? el("span", { class: "away" }, ` · ${page.away}`) : null),
  el("h3", { class: "title", tabindex: "-1" }, page.step_title || page.lesson),
  page.hint ? el("p", { class: "hint", role: "alert" }, page.hint) : null,
  ...MOMENTS[page.moment](page, hand),
]
