// @ts-check
// A row of choices of which one holds, gone about by arrow keys as radio buttons are.

import { hearRadioKeys } from "../shared/radio_keys.js"
import { html } from "./labels.js"

/** @typedef {{ key: string, label: string, title?: string }} Choice */

/**
 * A row; `show` brings it up to date with the choices there are and the one that holds.
 * @param {string} label
 * @param {string} kind a class for its style
 * @param {(key: string) => void} send is told what somebody chose
 */
export function makeChoices(label, kind, send) {
  const row = html("div", { class: `choices ${kind}`, role: "radiogroup", "aria-label": label })
  /** @type {HTMLButtonElement[]} */
  let buttons = []
  hearRadioKeys(row)
  /** @type {(choices: Choice[], chosen: string) => void} */
  const show = (choices, chosen) => {
    if (buttons.length !== choices.length) {
      buttons = choices.map(() => {
        const button = html("button", { type: "button", role: "radio" })
        button.addEventListener("click", () => send(button.dataset.key ?? ""))
        return button
      })
      row.replaceChildren(...buttons)
    }
    choices.forEach((choice, k) => {
      const button = buttons[k]
      button.dataset.key = choice.key
      if (button.textContent !== choice.label) button.textContent = choice.label
      button.setAttribute("aria-checked", String(choice.key === chosen))
      button.tabIndex = choice.key === chosen ? 0 : -1
      if (choice.title) button.title = choice.title
    })
  }
  return Object.assign(row, { show })
}
