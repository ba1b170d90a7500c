// @ts-check
// What stands at the upper and the lower edge of a sheet while a lecture is held: how far one is, and what can be pressed.

import { el } from "../shared/elements.js"
import { twice } from "../shared/twice.js"
import { keyMark } from "./ready.js"

/** Every cue by name, to jump to.
 * @type {(page: Lecture.Cue, hand: Lecture.Hand) => HTMLElement} */
const jump = (page, { words, send }) => {
  const select = el("select", { class: "jump", id: "cues", "aria-label": words.cues },
    ...page.names.map((name, k) => el("option", { value: k, selected: k === page.at }, `${k + 1} / ${page.cues} · ${name}`)))
  select.addEventListener("change", () => send("go", Number(select.value)))
  // The list is wider than the line: closed it shows where one is and no more, and nothing of it is cut.
  return el("span", { class: "jump-box" }, el("span", { "aria-hidden": "true" }, `${page.at + 1} / ${page.cues}`), select)
}

/** Ends a lecture that has begun, by a second press.
 * @param {Pick<Lecture.Hand, "words" | "send">} hand */
export const leaveButton = ({ words, send }) => {
  const leave = el("button", { class: "link", type: "button", "data-act": "leave" }, words.leave)
  twice(leave, words.leave_sure, () => send("leave"))
  return leave
}

/** @type {(page: Lecture.Cue, clock: HTMLElement, hand: Lecture.Hand) => (HTMLElement | null)[]} */
export const heading = (page, clock, hand) => [
  page.layout === "text" ? el("span", { class: "head__lesson" }, page.step_title ? page.lesson : hand.words.region) : null,
  page.mode === "rehearsal" ? el("strong", { class: "badge" }, hand.words.rehearsal) : null,
  page.mode === "replay" ? el("strong", { class: "badge" }, `${hand.words.replay}: ${page.entry}`) : null,
  clock, jump(page, hand), hand.leave,
]

/** @type {(page: Lecture.Cue, hand: Lecture.Hand) => HTMLElement[]} */
export const footing = (page, { press }) => page.buttons.map(one => el("button", {
  class: `key ${one.act === "next" ? "key--next" : ""}`, type: "button", "data-act": one.act, title: one.title,
  "aria-disabled": one.able ? null : "true", "aria-pressed": one.pressed === null ? null : String(one.pressed),
  onclick: () => { if (one.able) press(one.act) },
}, ...one.keys.slice(0, 1).map(keyMark), el("span", {}, one.label)))
