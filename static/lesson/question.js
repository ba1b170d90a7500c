// @ts-check
// A question of a step: choices or a number, and what was given.

import { el } from "../shared/elements.js"

/** What is answered with a press.
 * @typedef {"predict" | "observe" | "closing_answer"} Act */

/** @type {(part: Lesson.Asking, question: Lesson.ChoiceQuestion, label: string) => HTMLElement} */
const choices = (part, question, label) => el("fieldset", { class: "choices", "aria-describedby": `${part.name}-question`, "aria-invalid": part.wrong ? "true" : null },
  el("legend", { class: "unseen" }, label),
  ...question.choices.map((html, at) => el("label", { class: "option" },
    el("input", { type: "radio", name: `${part.name}-choice`, value: String(at), checked: question.chosen === at }),
    el("span", { html }))))

/** @type {(part: Lesson.Asking, question: Lesson.NumberQuestion, sheet: Lesson.Sheet, enter: () => void) => HTMLElement} */
const number = (part, { unit, given }, { words, refused }, enter) => {
  const id = `${part.name}-number`
  const told = [part.wrong && `${id}-wrong`, part.name === "observe" && part.verdict && "observe-verdict", `${part.name}-question`]
  const input = el("input", {
    id, class: "input", type: "text", autocomplete: "off", spellcheck: "false", size: "8", value: part.wrong ? refused.get(part.name) : given,
    "aria-invalid": part.wrong ? "true" : null, "aria-describedby": told.filter(Boolean).join(" "),
  })
  input.addEventListener("keydown", event => { if (event.key === "Enter") { event.preventDefault(); enter() } })
  return el("div", { class: "number-field" },
    el("label", { class: "unseen", for: id }, `${words.your_answer}${unit ? `, ${unit}` : ""}`),
    input,
    unit ? el("span", { class: "unit", "aria-hidden": "true" }, unit) : null)
}

/**
 * What is answered in, with its button.
 * @param {Lesson.Asking} part
 * @param {Act} act
 * @param {Lesson.Sheet} sheet
 */
export const form = (part, act, sheet) => {
  const { words, send, refused } = sheet
  const { question } = part
  const submit = () => {
    if (question.kind === "choice") {
      const chosen = /** @type {HTMLInputElement | null} */ (node.querySelector("input:checked"))
      send(act, chosen ? Number(chosen.value) : -1)
    } else {
      const typed = node.querySelector("input")?.value ?? ""
      refused.set(part.name, typed)
      send(act, typed)
    }
  }
  const node = el("div", { class: "form" },
    question.kind === "choice" ? choices(part, question, part.label) : number(part, question, sheet, submit),
    part.wrong ? el("p", { class: "wrong", id: `${part.name}-number-wrong`, role: "alert" }, part.wrong) : null)
  node.append(el("button", { class: "button button--main", type: "button", "data-act": act, onclick: submit },
    act === "predict" ? words.store : words.answer))
  return node
}

/** @param {Lesson.Asking} part */
export const given = ({ question }) => question.kind === "choice"
  ? el("p", { class: "given", html: question.choices[question.chosen ?? -1] })
  : el("p", { class: "given" }, `${question.given} ${question.unit}`.trim())
