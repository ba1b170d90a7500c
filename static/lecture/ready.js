// @ts-check
// The sheet before a lecture begins.

import { el } from "../shared/elements.js"

/** @param {string} mark */
export const keyMark = mark => el("kbd", {}, mark)

/** @type {(page: Lecture.Ready, hand: Lecture.Hand) => (HTMLElement | null)[]} */
export const readySheet = (page, hand) => {
  const { words, send, press } = hand
  /** @type {(label: string, mode: string, style: string, title?: string) => HTMLElement} */
  const begin = (label, mode, style, title) => el("button", {
    class: `button ${style} big`, type: "button", "data-act": "begin", title, onclick: () => press("begin", mode),
  }, label)
  const letters = el("input", { type: "checkbox", checked: page.letters })
  letters.addEventListener("change", () => send("letters", letters.checked))
  return [
    el("p", { class: "caps" }, words.region),
    el("h3", { class: "title", tabindex: "-1" }, page.title),
    el("p", { class: "minutes" }, page.minutes),
    el("div", { class: "starts" },
      begin(words.begin, "live", "button--main"),
      begin(words.rehearse, "rehearsal", "button--edge", words.rehearse_note),
      page.played ? begin(words.play_again, "replay", "button--edge") : null),
    el("div", { class: "two" },
      el("section", {},
        el("h4", { class: "caps" }, words.plan),
        el("ol", { class: "parts" }, ...page.parts.map(part => el("li", {},
          el("strong", {}, part.title), el("span", { class: "quiet" }, ` ${part.minutes}`),
          el("p", { class: "quiet" }, part.steps.join(" · ")))))),
      el("section", {},
        el("h4", { class: "caps" }, words.keys),
        el("dl", { class: "keys" }, ...page.keys_list.flatMap(([marks, meaning]) =>
          [el("dt", {}, ...marks.map(keyMark)), el("dd", {}, meaning)])),
        el("label", { class: "tickbox" }, letters, words.letters))),
    el("p", { class: "quiet" }, page.phones),
    el("div", { class: "row" },
      el("button", { class: "button link", type: "button", "data-act": "save", onclick: () => press("save") }, words.save),
      page.played ? el("button", { class: "button link", type: "button", "data-act": "results", onclick: () => press("results") }, words.results) : null,
      el("button", { class: "link", type: "button", "data-act": "leave", onclick: () => send("leave") }, words.leave)),
  ]
}
