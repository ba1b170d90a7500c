// @ts-check
// Faults in the order of their likelihood; each can be put on the bench to be looked at.

import { el } from "../shared/elements.js"

/**
 * @param {Traced.Words} words
 * @param {(number: number) => void} plant
 */
export function makeRanked(words, plant) {
  const said = el("p", { role: "status" })
  const list = el("ol", { class: "traced-faults" })
  const wrong = el("p", { class: "wrong", role: "alert" })
  const element = el("section", { class: "traced-ranked", "aria-labelledby": "traced-faults", hidden: true },
    el("h4", { id: "traced-faults" }, words.faults), said, list, wrong,
    el("p", { class: "quiet small" }, words.faults_note),
    el("p", { class: "quiet small" }, words.plant_note),
    el("p", { class: "traced-caution" }, words.caution))
  return {
    element,
    clear() { element.hidden = true },
    /** @param {Traced.Ranking} ranking */
    show(ranking) {
      said.textContent = ranking.said
      said.className = ranking.none ? "traced-none" : ""
      wrong.textContent = ""
      list.replaceChildren(...ranking.rows.map((one, k) => el("li", { class: one.fits ? "" : "traced-misses" },
        el("div", { class: "traced-fault" },
          el("strong", {}, one.title), one.rank ? el("span", { class: "traced-rank" }, one.rank) : null,
          el("meter", { min: 0, max: 1, value: one.part, "aria-label": `${words.likelihood}: ${one.title}` }),
          el("span", { class: "traced-share" }, one.share)),
        one.sentence ? el("p", {}, one.sentence) : null,
        el("p", { class: "quiet small" }, [one.size, `${one.misfit}, ${one.fits ? words.fits : words.misses}`].filter(Boolean).join("; ")),
        one.plants ? el("button", { type: "button", class: "button button--edge", "aria-label": words.plant_label.replace("{fault}", one.title), onclick: () => plant(k) }, words.plant) : null)))
      element.hidden = false
    },
    /** @param {string} text */
    wrong(text) { wrong.textContent = text },
  }
}
