// @ts-check
// What was recognised in a file: facts, and a table whose columns a person can map by hand.

import { el } from "../shared/elements.js"

/**
 * @param {Traced.Dialog} given
 * @param {Traced.Say} say
 */
export function makeRecognised({ words, quantities, units }, say) {
  const facts = el("dl", { class: "traced-facts" })
  const table = el("div", { class: "traced-scroll", tabindex: 0, role: "group", "aria-label": words.columns })
  const sign = select("traced-sign", [["1", words.sign_plus], ["-1", words.sign_minus]])
  const leave = el("input", { type: "checkbox", id: "traced-leave" })
  const leaveText = el("span")
  const leaveRow = el("label", { class: "traced-check", hidden: true }, leave, leaveText)
  const wrong = el("p", { class: "wrong", role: "alert" })
  const confirm = el("button", { type: "button", class: "button button--main", onclick: () => say("confirm", read()) }, words.confirm)
  const title = el("h3", { id: "traced-found", tabindex: -1 }, words.found)
  const element = el("section", { class: "traced-found", "aria-labelledby": "traced-found", hidden: true },
    title, facts, table,
    el("div", { class: "traced-line" }, el("label", { for: "traced-sign" }, words.sign), sign),
    leaveRow, wrong, el("div", { class: "traced-onward" }, confirm))
  /** @type {{ quantity: HTMLSelectElement, unit: HTMLSelectElement, note: HTMLElement }[]} */
  let columns = []

  /** @returns {Traced.Mapped} */
  const read = () => ({
    columns: columns.map(one => ({ quantity: one.quantity.value, unit: one.unit.value })),
    sign: sign.value, leave_out: leave.checked,
  })
  const changed = () => say("map", read())
  sign.addEventListener("change", changed)
  leave.addEventListener("change", changed)

  /** @param {HTMLSelectElement} unit
   * @param {string} quantity
   * @param {string} chosen */
  const offer = (unit, quantity, chosen) => {
    const known = units[quantity] ?? []
    unit.replaceChildren(...known.map(([value, label]) => el("option", { value }, label)))
    unit.disabled = !known.length
    if (chosen) unit.value = chosen
  }

  /** @param {Traced.Found} found */
  const build = found => {
    columns = found.columns.map(({ name }, k) => {
      const quantity = select(`traced-quantity-${k}`, quantities, words.quantity_of.replace("{column}", name))
      const unit = select(`traced-unit-${k}`, [], words.unit_of.replace("{column}", name))
      quantity.addEventListener("change", () => { offer(unit, quantity.value, ""); changed() })
      unit.addEventListener("change", changed)
      return { quantity, unit, note: el("span", { class: "small" }) }
    })
    table.replaceChildren(el("table", { class: "figures traced-columns" },
      el("caption", {}, words.columns),
      el("thead", {},
        el("tr", {}, ...found.columns.map(({ name }) => el("th", { scope: "col" }, name))),
        el("tr", {}, ...columns.map(one => el("td", {}, one.quantity, one.unit, one.note)))),
      el("tbody", {}, ...found.rows.map(row => el("tr", {}, ...row.map(text => el("td", {}, text)))))))
  }

  return {
    element,
    /** @param {Traced.Found} found
     * @param {boolean} fresh whether it is another file */
    show(found, fresh) {
      if (fresh) build(found)
      found.columns.forEach((one, k) => {
        const mine = columns[k]
        mine.quantity.value = one.quantity
        offer(mine.unit, one.quantity, one.unit)
        mine.unit.hidden = one.unused
        mine.note.textContent = one.unused ? "" : fresh ? (one.sure ? words.written : words.assumed) : one.sure ? words.written : words.chosen
        mine.note.className = one.sure || one.unused ? "small quiet" : "small traced-assumed"
      })
      sign.value = found.sign
      leave.checked = found.leave_out
      leaveRow.hidden = !found.broken
      leaveText.textContent = words.leave_out.replace("{count}", String(found.broken))
      facts.replaceChildren(...[[words.file, found.name], ...found.facts].flatMap(([name, text]) => [el("dt", {}, name), el("dd", {}, text)]))
      wrong.textContent = ""
      element.hidden = false
      if (fresh) {
        title.focus()
        title.scrollIntoView({ block: "nearest" })
      }
    },
    /** @param {string} text */
    wrong(text) { wrong.textContent = text },
  }
}

/** @type {(id: string, options: Traced.Option[], label?: string) => HTMLSelectElement} */
const select = (id, options, label) =>
  el("select", { class: "input", id, "aria-label": label }, ...options.map(([value, text]) => el("option", { value }, text)))
