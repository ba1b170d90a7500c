// @ts-check
// Setting a day up: place, date, ground, and the solid things whose shadows fall on the roof.

import { el, withKeys } from "../shared/elements.js"
import { drawPlan } from "./plan_view.js"

/**
 * @param {Day.Words} words
 * @param {(what: string, value: unknown) => void} say
 */
export function makeSetup(words, say) {
  const place = el("select", { class: "input", id: "day-place", onchange: () => say("set", { field: "place", to: place.value }) })
  const date = el("input", { class: "input", id: "day-date", type: "date", title: words.date_hint, min: "1950-01-01", max: "2050-12-31" })
  date.addEventListener("change", () => say("set", { field: "date", to: date.value }))
  const wrongDate = wrongBelow("day-date")
  date.setAttribute("aria-describedby", wrongDate.id)
  const numbers = el("div", { class: "numbers" })
  const things = el("div", { class: "things" })
  const kind = el("select", { class: "input", "aria-label": words.add_label }, ...words.add_what.map(([value, label]) => el("option", { value }, label)))
  const add = el("button", { type: "button", class: "button button--edge", onclick: () => say("add", kind.value) }, words.add)
  const roof = el("p", { class: "quiet small" })
  const plan = el("div", { class: "plan-box" })
  const element = el("div", { class: "setup" },
    el("div", { class: "site" },
      el("div", { class: "field field--place" }, el("label", { for: place.id }, words.place), place),
      el("div", { class: "field field--date" }, el("label", { for: date.id }, words.date), date),
      numbers, wrongDate),
    el("div", { class: "around", role: "group", "aria-label": words.things },
      el("div", { class: "add" }, el("span", { class: "label" }, words.things), kind,
        add),
      things, roof, el("p", { class: "quiet small" }, words.axes)),
    plan)

  /** Fields by name. @type {Map<string, Day.FieldElement>} */
  const fields = new Map()
  let shape = "", offered = ""

  /** @type {(spec: Day.Field, name: string, commit: (text: string) => void) => HTMLElement[]} */
  const field = (spec, name, commit) => {
    const id = `day-${name}`
    const wrong = wrongBelow(id)
    const input = el("input", {
      class: "input number", id, type: "text", inputmode: "decimal", autocomplete: "off", size: 6, "aria-describedby": wrong.id,
    })
    const send = () => { if (input.value !== input.dataset.was) { input.dataset.was = input.value; commit(input.value) } }
    input.addEventListener("change", send)
    input.addEventListener("keydown", (event) => { if (event.key === "Enter") send() })
    fields.set(name, { input, wrong })
    // What is wrong has the whole width below the row of fields.
    return [el("div", { class: "field" }, el("label", { for: id }, spec.label),
      el("div", { class: "line" }, input, el("span", { class: "unit" }, spec.unit))), wrong]
  }
  /** @type {(name: string, value: string) => void} */
  const fill = (name, value) => {
    const one = fields.get(name)
    if (!one || (withKeys(one.input) === one.input && one.input.getAttribute("aria-invalid"))) return
    if (one.input.dataset.was !== value || withKeys(one.input) !== one.input) one.input.value = one.input.dataset.was = value
  }

  /** @param {Day.Form} form */
  const build = (form) => {
    fields.clear()
    fields.set("date", { input: date, wrong: wrongDate })
    numbers.replaceChildren(...form.fields.flatMap((one) => field(one, one.field, (text) => say("set", { field: one.field, to: text }))))
    things.replaceChildren(...form.things.map((thing, index) => {
      const title = words.thing.replace("{title}", thing.title).replace("{number}", String(index + 1))
      const gone = words.remove.replace("{thing}", title)
      const rows = thing.fields.flatMap((one) => field(one, `thing-${index}-${one.field}`, (text) => say("thing", { index, field: one.field, to: text })))
      return el("fieldset", { class: "thing" }, el("legend", {}, `${index + 1} ${thing.title}`), ...rows,
        el("button", { type: "button", class: "button button--icon", "aria-label": gone, title: gone, onclick: () => { add.focus(); say("remove", index) } }, "×"))
    }))
    if (!form.things.length) things.append(el("p", { class: "quiet" }, words.no_things))
  }
  return {
    element,
    /** @param {Day.Form} form */
    show(form) {
      const places = JSON.stringify(form.places)
      if (places !== offered) {
        offered = places
        place.replaceChildren(...form.places.map(([value, label]) => el("option", { value, disabled: value === "own" }, label)))
      }
      const now = form.things.map((one) => one.kind).join(" ")
      if (now !== shape || !fields.size) {
        shape = now
        build(form)
      }
      if (withKeys(place) !== place || place.value !== form.place) place.value = form.place
      if (withKeys(date) !== date) date.value = form.date
      for (const one of form.fields) fill(one.field, one.value)
      form.things.forEach((thing, index) => thing.fields.forEach((one) => fill(`thing-${index}-${one.field}`, one.value)))
      roof.textContent = form.roof
      plan.replaceChildren(drawPlan(form.plan, words.plan))
    },
    /** What is wrong with each.
     * @param {Record<string, string>} sentences */
    judge(sentences) {
      for (const [name, { input, wrong }] of fields) {
        wrong.textContent = sentences[name] ?? ""
        if (sentences[name]) input.setAttribute("aria-invalid", "true")
        else input.removeAttribute("aria-invalid")
      }
      const first = [...fields].find(([name]) => sentences[name])?.[1]
      first?.wrong.scrollIntoView({ block: "nearest" })
    },
  }
}

/** @param {string} id */
const wrongBelow = (id) => el("p", { class: "wrong", id: `${id}-wrong`, role: "alert" })
