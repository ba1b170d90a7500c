// @ts-check
// The fields of a data sheet, in the groups in which a paper has them.

import { el } from "../shared/elements.js"

/** @param {string} name */
const idOf = name => `sheet-${name}`

/**
 * @param {Sheet.Form} spec
 * @param {Sheet.Words} words
 */
export function makeForm({ groups, ranges }, words) {
  /** @type {Map<string, Sheet.Field>} */
  const fields = new Map()
  for (const { fields: specs } of groups) for (const one of specs) fields.set(one.id, makeField(one))

  /** What depends on a choice: told from where to where it may lie.
   * @type {(choice: string, usual: boolean) => void} */
  const span = (choice, usual) => {
    const chosen = fields.get(choice)?.read()[choice] ?? ""
    for (const [name, range] of Object.entries(ranges[choice][chosen] ?? {})) {
      fields.get(name)?.hint?.(rangeText(range, words))
      if (usual) fields.get(name)?.set({ [name]: range[1] })
    }
  }
  for (const choice of Object.keys(ranges)) fields.get(choice)?.input.addEventListener("change", () => span(choice, true))

  return {
    groups: groups.map(one => el("fieldset", { class: `group group--${one.id}` },
      one.title ? el("legend", {}, one.title, one.mark ? el("span", { class: "mark" }, one.mark) : null) : null,
      one.note ? el("p", { class: "quiet small note" }, one.note) : null,
      ...one.fields.map(({ id }) => fields.get(id)?.row))),
    /** @returns {Sheet.Values} */
    read: () => Object.assign({}, ...[...fields.values()].map(field => field.read())),
    /** @param {Sheet.Values} values */
    set(values) {
      for (const field of fields.values()) field.set(values)
      for (const choice of Object.keys(ranges)) span(choice, false)
    },
    /** What is wrong, each at its field; the first of them gets the keys.
     * @param {Sheet.Problem[]} problems */
    judge(problems) {
      for (const [id, field] of fields) {
        const own = problems.find(one => one.field === id)
        const other = own ?? problems.find(one => one.beside.includes(id))
        field.wrong(own?.text ?? "", other ? `${idOf(other.field)}-wrong` : "")
      }
      const first = [...fields].find(([id]) => problems.some(one => one.field === id))
      first?.[1].input.focus()
      first?.[1].row.scrollIntoView({ block: "nearest" })    // with what is said of it
    },
  }
}

/** @type {(range: Sheet.Span, words: Sheet.Words) => string} */
export const rangeText = ([least, usual, most], words) =>
  least === most ? least : words.usual.replace("{least}", least).replace("{usual}", usual).replace("{most}", most)

/** @type {(spec: Sheet.Spec) => Sheet.Field} */
function makeField(spec) {
  const id = idOf(spec.id)
  const hint = el("span", { class: "quiet small", id: `${id}-hint` }, spec.kind === "number" ? spec.hint : "")
  const wrong = el("p", { class: "wrong", id: `${id}-wrong` })
  const needed = spec.kind !== "choice" && spec.needed
  const input = spec.kind === "choice"
    ? el("select", { class: "input", id }, ...spec.options.map(([value, text]) => el("option", { value }, text)))
    : el("input", {
      class: `input${spec.kind === "number" ? " number" : ""}`, id, type: "text", autocomplete: "off", spellcheck: "false",
      inputmode: spec.kind === "number" && !spec.signed ? "decimal" : null, "aria-required": needed ? "true" : null,
    })
  const units = spec.kind === "number" && spec.units.length > 1
    ? el("select", { class: "input unit", "aria-label": spec.units_label, id: `${id}-unit` }, ...spec.units.map(unit => el("option", { value: unit }, unit)))
    : null
  const unit = spec.kind === "number" && spec.unit ? el("span", { class: "unit quiet", "aria-hidden": "true" }, spec.unit) : null
  if (spec.kind === "number" && unit) input.setAttribute("aria-label", `${spec.label}, ${spec.unit}`)
  const label = el("label", { for: id }, spec.label)
  input.setAttribute("aria-describedby", `${id}-hint`)
  return {
    row: el("div", { class: `field field--${spec.kind} field--${spec.id}` }, label, el("div", { class: "line" }, input, units, unit), hint, wrong),
    input,
    read: () => ({ [spec.id]: input.value, ...(units ? { [`${spec.id}_unit`]: units.value } : {}) }),
    set(values) {
      if (spec.id in values) input.value = values[spec.id]
      if (units && `${spec.id}_unit` in values) units.value = values[`${spec.id}_unit`]
    },
    hint(text) { hint.textContent = text },
    wrong(text, by) {
      wrong.textContent = text
      if (by) input.setAttribute("aria-invalid", "true")
      else input.removeAttribute("aria-invalid")
      input.setAttribute("aria-describedby", [`${id}-hint`, by].filter(Boolean).join(" "))
    },
  }
}
