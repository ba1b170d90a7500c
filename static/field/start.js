// @ts-check
// How a search is begun: a number, a level, and kinds of fault in a block or mixed.

import { el } from "../shared/elements.js"

/**
 * @param {Field.Words} words
 * @param {Field.Start} start
 * @param {Field.Say} say
 */
export function makeStart(words, start, say) {
  const seed = el("input", { class: "input number", id: "search-seed", type: "text", inputmode: "numeric", autocomplete: "off", value: String(1 + Math.floor(Math.random() * 9999)), "aria-describedby": "search-seed-hint search-seed-wrong" })
  const wrong = el("p", { class: "wrong", id: "search-seed-wrong", role: "alert" })
  const level = el("select", { class: "input", id: "search-level" }, ...start.levels.map(([value, title]) => el("option", { value }, title)))
  const family = el("select", { class: "input", id: "search-family" })
  // A block of one family, where the level has it.
  const offer = () => {
    const there = start.levels.find(([value]) => value === level.value)?.[2] ?? []
    const kept = family.value
    family.replaceChildren(...start.families.filter(([value]) => !value || there.includes(value)).map(([value, title]) => el("option", { value }, title)))
    family.value = there.includes(kept) ? kept : ""
  }
  level.addEventListener("change", offer)
  offer()
  const reason = el("p", { class: "reason" })
  let advised = ""
  const rows = el("dl", { class: "set__rows" })
  const set = el("section", { class: "set", "aria-label": words.set }, el("h4", { class: "caps" }, words.set), rows)
  const own = el("h4", { class: "caps" }, words.own)
  let listed = ""
  const form = el("form", { class: "start" },
    el("p", {}, words.lead),
    set,
    own,
    el("div", { class: "field" }, el("label", { for: seed.id }, words.seed), seed, el("p", { class: "quiet small", id: "search-seed-hint" }, words.seed_hint), wrong),
    reason,
    el("div", { class: "field" }, el("label", { for: level.id }, words.level), level),
    el("div", { class: "field" }, el("label", { for: family.id }, words.family), family),
    el("button", { type: "submit", class: "button button--main", "data-act": "begin" }, words.begin),
    el("p", { class: "quiet small" }, words.invented))
  form.addEventListener("submit", (event) => {
    event.preventDefault()
    say("begin", { seed: seed.value, level: level.value, family: family.value })
  })
  return {
    element: form,
    /** @param {Record<string, string>} told */
    judge(told) {
      wrong.textContent = told.seed ?? ""
      if (told.seed) seed.setAttribute("aria-invalid", "true")
      else seed.removeAttribute("aria-invalid")
    },
    /** The searches that the course gives, whenever something was done of them.
     * @param {Field.Now["practised"]} blocks */
    list(blocks) {
      const key = JSON.stringify(blocks)
      if (key === listed) return
      listed = key
      set.hidden = own.hidden = !blocks.length
      rows.replaceChildren(...blocks.flatMap((block) => [
        el("dt", {}, block.title),
        el("dd", {}, ...block.searches.map((one) => el("button", { type: "button", class: `button button--edge set__one set__one--${one.state || "open"}`, "data-act": "set", "aria-label": one.said, title: one.said, onclick: () => say("begin", { seed: one.seed, level: one.level, family: one.family }) }, one.text))),
      ]))
    },
    /** What comes next, whenever that changes.
     * @param {Field.Now["practice"]} practice */
    advise(practice) {
      const key = JSON.stringify(practice)
      if (key === advised) return
      if (advised) seed.value = String((Number(seed.value) || 0) + 1)
      advised = key
      reason.textContent = practice.reason
      level.value = practice.level
      offer()
      family.value = practice.family
    },
  }
}
