// @ts-check
// The answer to a search: what it is, where (the part in view), and how sure.

import { el, withKeys } from "../shared/elements.js"

const SURE = [50, 60, 70, 80, 90, 95, 100]

/**
 * @param {Field.Words} words
 * @param {Field.Say} say
 */
export function makeAnswer(words, say) {
  const kind = el("select", { class: "input", id: "answer-kind" })
  const where = el("output", { class: "where", for: kind.id })
  const sure = el("select", { class: "input", id: "answer-sure" }, ...SURE.map((one) => el("option", { value: String(one) }, `${one}\u202f%`)))
  sure.value = "80"
  const hint = el("p", { class: "quiet small" })
  const press = el("button", { type: "submit", class: "button button--main", "data-act": "answer" }, words.say)
  const form = el("form", { class: "part answer", "aria-label": words.answer },
    el("h4", { class: "caps" }, words.answer),
    el("p", { class: "quiet small" }, words.answer_lead),
    el("div", { class: "field" }, el("label", { for: kind.id }, words.kind), kind),
    el("div", { class: "answer__row" },
      el("div", { class: "field" }, el("span", { class: "label" }, words.where), where),
      el("div", { class: "field" }, el("label", { for: sure.id }, words.sure), sure)),
    press, hint)
  form.addEventListener("submit", (event) => {
    event.preventDefault()
    if (kind.value) say("answer", { kind: kind.value, sure: Number(sure.value) })
  })
  /** @type {Field.Search["kinds"]} */
  let kinds = []
  let drawn = "", given = 0
  const tell = () => {
    const one = kinds.flatMap(([, set]) => set).find(([value]) => value === kind.value)
    where.textContent = one ? one[2] || words.no_place : "–"
    press.disabled = !one?.[2]
  }
  kind.addEventListener("change", tell)
  return {
    element: form,
    /** @param {Field.Search} search */
    show(search) {
      ;({ kinds } = search)
      hint.textContent = search.say_hint
      const noted = search.answers > given
      const pressed = withKeys(form) === press
      if (noted) kind.value = "" // the next is another
      given = search.answers
      const key = JSON.stringify(kinds.map(([family, set]) => [family, set.map(([value]) => value)]))
      if (key !== drawn) {
        drawn = key
        kind.replaceChildren(el("option", { value: "" }, words.choose), ...kinds.map(([family, set]) =>
          el("optgroup", { label: family }, ...set.map(([value, title]) => el("option", { value }, title)))))
      }
      tell()
      if (noted && pressed) kind.focus() // the button waits for a kind, and lets the keys go
    },
  }
}
