// @ts-check
// How the plant stands: inverter, switch, proof of zero current, one string; each with what can be done with it.

import { el, withKeys } from "../shared/elements.js"

/**
 * @param {Field.Words} words
 * @param {Field.Say} say
 */
export function makePlant(words, say) {
  const rows = el("dl", { class: "plant" })
  const altered = el("p", { class: "quiet small" })
  const element = el("section", { class: "part", "aria-label": words.plant }, el("h4", { class: "caps" }, words.plant), rows, altered)
  let drawn = ""

  return {
    element,
    /** @param {Field.Now} now */
    show(now) {
      altered.textContent = now.altered
      altered.hidden = !now.altered
      const key = JSON.stringify(now.plant)
      if (key === drawn) return
      drawn = key
      const held = [...rows.querySelectorAll("button")].findIndex((one) => one === withKeys(rows))
      rows.replaceChildren(...now.plant.map((row) => el("div", { class: "plant__row" },
        el("dt", {}, row.title),
        el("dd", {}, el("span", { class: "plant__now" }, row.now),
          ...row.acts.map((act) => el("button", {
            type: "button", class: "button button--edge", "data-act": act.name,
            "aria-label": `${act.title}: ${row.title}, ${act.minutes}`, onclick: () => say("act", { name: act.name }),
          }, act.title, " ", el("span", { class: "cost" }, act.minutes)))))))
      if (held >= 0) [...rows.querySelectorAll("button")][Math.min(held, rows.querySelectorAll("button").length - 1)]?.focus()
    },
  }
}
