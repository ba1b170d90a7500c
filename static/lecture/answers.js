// @ts-check
// What the class can answer and has answered: choices with their bars, raised hands that are counted, the chart.

import { el, find } from "../shared/elements.js"
import { choiceBars, legend, numberChart, table } from "./chart.js"

/** One more or fewer hand for a choice.
 * @type {(count: number, k: number, letter: string, hand: Lecture.Hand) => HTMLElement} */
const stepper = (count, k, letter, { words, send }) => {
  /** @type {(act: string, label: string, by: number, sign: string) => HTMLElement} */
  const step = (act, label, by, sign) => el("button", {
    type: "button", class: "step-button", "data-act": act, "aria-label": label.replace("{letter}", letter), onclick: () => send("count", { choice: k, by }),
  }, sign)
  return el("span", { class: "stepper" },
    step("fewer", words.fewer, -1, "−"),
    el("output", { class: "step-count", "aria-label": words.count.replace("{letter}", letter) }, String(count)),
    step("another", words.another, 1, "+"))
}

/** @type {(page: Lecture.Cue, hand: Lecture.Hand) => HTMLElement | null} */
export const choices = (page, hand) => {
  const { chart, hands } = page
  if (!page.choices?.length) return null
  return el("ol", { class: `choices ${page.small ? "choices--small" : ""}` },
    ...page.choices.map((one, k) => el("li", { class: `choice-row ${one.right ? "choice-row--right" : ""}` },
      el("span", { class: "letter" }, one.letter),
      el("div", { class: "choice-text" },
        el("span", { html: one.html }),
        one.right ? el("strong", { class: "right-mark" }, ` ✓ ${hand.words.right}`) : null,
        chart?.kind === "choice" ? choiceBars(chart, k) : null),
      hands?.kind === "choice" && !chart ? stepper(hands.counts[k], k, one.letter, hand) : null)))
}

/** The field for all hands at once.
 * @type {(one: Lecture.Hands, hand: Lecture.Hand) => HTMLElement} */
export const handsField = (one, { words, send, root }) => {
  const input = el("input", {
    class: "input", type: "text", id: "hands", autocomplete: "off", spellcheck: "false", value: one.text,
    "aria-invalid": one.wrong ? "true" : null, "aria-describedby": "hands-hint",
  })
  input.addEventListener("keydown", event => {
    if (event.key !== "Enter" && event.key !== "Escape") return
    event.preventDefault()
    event.stopPropagation()
    if (event.key === "Enter") send("hands", input.value)
    find(root, ".title")?.focus({ preventScroll: true })
  })
  return el("div", { class: "hands" },
    el("label", { for: "hands" }, one.kind === "choice" ? words.hands : words.numbers), input,
    one.kind === "number" && one.unit ? el("span", { class: "quiet" }, one.unit) : null,
    el("span", { class: one.wrong ? "wrong" : "quiet", id: "hands-hint", role: one.wrong ? "alert" : null }, one.wrong || one.hint))
}

/** @type {(page: Lecture.Cue, words: Lecture.Words) => HTMLElement | null} */
export const chartFigure = ({ chart, small, mode }, words) => !chart ? null : el("figure", { class: `answers ${small ? "answers--small" : ""}` },
  mode === "rehearsal" ? el("p", { class: "invented" }, words.invented) : null,
  chart.kind === "number" ? numberChart(chart) : null,
  legend(chart), table(chart, words.answers_table))
