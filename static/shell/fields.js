// @ts-check
// What stands in the panels: a field for each entry of bar_layout.py, by its kind.

import { el } from "../shared/elements.js"
import { choiceField, languagesField, listField, presetsField, selectField } from "./choice_fields.js"
import { fileField, linkField } from "./file_fields.js"
import { numberField } from "./number_field.js"

/** @type {(spec: Bar.NoteSpec) => Bar.Field} */
function noteField({ text, title, said }) {
  const row = el("p", { class: title ? "note note--title" : "note" }, text)
  if (said) row.setAttribute("role", "status")
  return { row, set(now) { row.textContent = now } }
}

/** @type {(spec: Bar.ActSpec, hand: Bar.Hand) => Bar.Field} */
function actField({ id, label, main }, hand) {
  const wrong = el("p", { class: "wrong", role: "alert" })
  const press = () => hand.send(id, id === "build" ? { strings: hand.read("strings"), modules: hand.read("modules"), type: hand.read("type") } : null)
  const button = el("button", { type: "button", class: `button ${main ? "button--main" : "button--edge"} wide`, onclick: press }, label)
  return { row: el("div", { class: "field" }, button, wrong), wrong(text) { wrong.textContent = text } }
}

/** Whoever hears the event opens; the panel goes, and the keys are where they were before it came.
 * @type {(spec: Bar.OpensSpec, hand: Bar.Hand) => Bar.Field} */
function opensField({ label, event }, hand) {
  const press = () => {
    hand.shut()
    document.dispatchEvent(new CustomEvent(event))
  }
  return { row: el("div", { class: "field" }, el("button", { type: "button", class: "button button--edge wide", "aria-haspopup": "dialog", onclick: press }, label)) }
}

/** @type {{ [K in Bar.Spec["kind"]]: (spec: any, hand: Bar.Hand) => Bar.Field }} */
const MAKERS = {
  note: noteField, rule: () => ({ row: el("hr") }), number: numberField, act: actField,
  choice: choiceField, presets: presetsField, select: selectField, list: listField, languages: languagesField,
  file: fileField, link: linkField, opens: opensField,
}

/**
 * @param {Omit<Bar.Hand, "read">} more what the fields are told, say and do
 */
export function makeFields(more) {
  /** @type {Map<string, Bar.Field>} */
  const fields = new Map()
  /** @type {Bar.Hand} */
  const hand = { ...more, read: id => fields.get(id)?.read?.() ?? "" }
  return {
    /** A new field; gives back what it looks like.
     * @param {Bar.Spec} spec */
    make(spec) {
      const field = MAKERS[spec.kind](spec, hand)
      if (spec.kind !== "rule") fields.set(spec.id, field)
      return field.row
    },
    /** @param {Bar.Values} now */
    show(now) {
      for (const [id, options] of Object.entries(now.options)) fields.get(id)?.offer?.(options)
      for (const [id, value] of Object.entries(now.fields)) fields.get(id)?.set?.(value)
      for (const [id, field] of fields) field.row.hidden = now.hidden.includes(id)
    },
    /** What is wrong with each.
     * @param {Record<string, string>} sentences */
    judge(sentences) {
      for (const [id, field] of fields) field.wrong?.(sentences[id] ?? "")
    },
    /** @param {Bar.Answer} message */
    answer(message) {
      fields.get("link")?.answer?.(message)
    },
  }
}
