// @ts-check
// Fields of a panel in which one of several is chosen.

import { el, withKeys } from "../shared/elements.js"
import { hearRadioKeys } from "../shared/radio_keys.js"

/** One of a few, side by side.
 * @type {(spec: Bar.OptionsSpec, hand: Bar.Hand) => Bar.Field} */
export function choiceField({ id, label, options }, hand) {
  const buttons = options.map(([value, text]) => {
    const press = () => hand.send(id, value)
    return el("button", { type: "button", role: "radio", "aria-checked": "false", tabindex: -1, "data-value": value, onclick: press }, text)
  })
  const group = el("div", { class: "choice", role: "radiogroup", "aria-labelledby": `label-${id}` }, ...buttons)
  hearRadioKeys(group)
  return {
    row: el("div", { class: "field" }, el("span", { class: "label", id: `label-${id}` }, label), group),
    set(now) {
      for (const one of buttons) {
        const holds = one.dataset.value === now
        one.setAttribute("aria-checked", String(holds))
        one.tabIndex = holds ? 0 : -1
      }
    },
  }
}

/** Settings to jump to, none of which is held.
 * @type {(spec: Bar.OptionsSpec, hand: Bar.Hand) => Bar.Field} */
export const presetsField = ({ id, label, options }, hand) => ({
  row: el("div", { class: "presets", role: "group", "aria-label": label }, ...options.map(([value, text]) =>
    el("button", { type: "button", class: "button button--edge", onclick: () => hand.send(id, value) }, text))),
})

/** One of many, whose number may change.
 * @type {(spec: Bar.SelectSpec, hand: Bar.Hand) => Bar.Field} */
export function selectField(spec, hand) {
  const id = `field-${spec.id}`
  const select = el("select", { class: "input", id })
  if (spec.at_once) select.addEventListener("change", () => hand.send(spec.id, select.value))
  let offered = ""
  return {
    row: el("div", { class: "field" }, el("label", { for: id }, spec.label), select),
    read: () => select.value,
    set(value) { if (withKeys(select) !== select) select.value = value },
    offer(options) {
      const text = JSON.stringify(options)
      if (text === offered) return
      offered = text
      select.replaceChildren(...options.map(([value, label]) => el("option", { value }, label)))
    },
  }
}

/** Things to open, each with a sentence about it.
 * @type {(spec: Bar.OptionsSpec, hand: Bar.Hand) => Bar.Field} */
export const listField = ({ id, label, options }, hand) => ({
  row: el("div", { class: "field" }, el("span", { class: "label" }, label),
    el("div", { class: "list", role: "group", "aria-label": label }, ...options.map(([value, title, note]) =>
      el("button", { type: "button", class: "entry", onclick: () => { hand.send(id, value); hand.shut() } },
        el("strong", {}, title), el("span", {}, note))))),
})

/** The languages of the page, each by its own name.
 * @type {(spec: Bar.LanguagesSpec, hand: Bar.Hand) => Bar.Field} */
export function languagesField({ id, label, options, now }, hand) {
  const wrong = el("p", { class: "wrong", role: "alert" })
  const list = el("div", { class: "list", role: "group", "aria-label": label }, ...options.map(([code, name]) =>
    el("button", {
      type: "button", class: "entry", lang: code, "aria-current": code === now ? "true" : null, onclick: () => hand.send(id, code),
    }, el("strong", {}, name))))
  return { row: el("div", { class: "field" }, list, wrong), wrong(text) { wrong.textContent = text } }
}
