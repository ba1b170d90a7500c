// @ts-check
// The instruments: a press puts one at the part in view and reads it.

import { el, withKeys } from "../shared/elements.js"
import { hearRadioKeys } from "../shared/radio_keys.js"

/**
 * @param {Field.Words} words
 * @param {Field.Say} say
 */
export function makeKit(words, say) {
  const place = el("p", { class: "quiet small" })
  const chain = words.levels.map(([value, label]) => el("button", { type: "button", role: "radio", "data-level": value, onclick: () => say("put", value) }, label))
  const where = el("div", { class: "choice chain", role: "radiogroup", "aria-label": words.at_label }, ...chain)
  hearRadioKeys(where)
  const groups = el("div", { class: "groups" })
  const caution = el("p", { class: "caution small", role: "note" })
  const element = el("section", { class: "part", "aria-label": words.kit },
    el("h4", { class: "caps" }, words.kit), where, place, groups, caution)
  let drawn = ""

  /** @param {Field.Tool} tool */
  const button = (tool) => {
    const last = "most" in tool
      ? el("input", {
        class: "input number last", type: "number", min: tool.first, max: tool.most, value: tool.most,
        "aria-label": words.to, "data-name": "last",
      })
      : null
    const press = el("button", {
      type: "button", class: "button button--edge tool", "data-act": tool.name, disabled: !!tool.off, title: tool.off || tool.at,
      "aria-label": [tool.title, tool.at, tool.minutes].filter(Boolean).join(", "),
      onclick: () => say("act", last ? { name: tool.name, last: Number(last.value) } : { name: tool.name }),
    }, tool.title, " ", el("span", { class: "cost" }, tool.minutes))
    if (!last) return press
    return el("span", { class: "run" }, press, el("span", { class: "small" }, words.run.replace("{first}", String(tool.first))), last)
  }

  /** @param {Field.Range} range */
  const ranges = (range) => {
    const list = el("select", { class: "input ranges", "data-act": `range:${range.meter}`, "aria-label": range.title, title: words.range_hint },
      ...range.options.map(([value, label]) => el("option", { value }, label)))
    list.value = range.value
    list.addEventListener("change", () => say("range", { meter: range.meter, most: list.value }))
    return el("label", { class: "ranged" }, el("span", { class: "small" }, words.range), list)
  }

  return {
    element,
    /** @param {Field.Now} now */
    show(now) {
      for (const one of chain) {
        const holds = one.dataset.level === now.level
        one.setAttribute("aria-checked", String(holds))
        one.tabIndex = holds ? 0 : -1
      }
      place.textContent = words.at.replace("{place}", now.place)
      caution.textContent = now.caution
      caution.hidden = !now.caution
      const key = JSON.stringify(now.kit)
      if (key === drawn) return
      drawn = key
      const held = withKeys(groups)
      const name = held instanceof HTMLElement && groups.contains(held) ? held.dataset.act : ""
      groups.replaceChildren(...now.kit.map((group) => el("div", { class: "group", role: "group", "aria-label": group.title },
        el("span", { class: "group__title" }, group.title), el("span", { class: "group__tools" }, ...group.tools.map(button),
          "meter" in group.range ? ranges(/** @type {Field.Range} */ (group.range)) : null))))
      if (!name) return
      const again = [.../** @type {NodeListOf<HTMLElement>} */ (groups.querySelectorAll("button, select"))]
      const same = again.find((one) => one.dataset.act === name) ?? again.find((one) => one.dataset.act?.split(":")[0] === "lift" || one.dataset.act?.startsWith("cover"))
      same?.focus()
    },
  }
}
