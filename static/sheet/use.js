// @ts-check
// The last act: the module goes on the roof, for all modules there or for an array of its own.

import { el } from "../shared/elements.js"

const COUNTS = ["strings", "modules"]

/**
 * @param {Sheet.Words} words
 * @param {(more: Record<string, string>) => void} wish uses the module
 */
export function makeUse(words, wish) {
  const ready = el("p")
  const now = el("span", {}, words.use_now)
  const [kept, anew] = ["now", "new"].map(value => el("input", { type: "radio", name: "sheet-array", value, onchange: () => follow() }))
  kept.checked = true
  const counts = COUNTS.map(name => countField(name, name === "strings" ? words.use_strings : words.use_modules))
  const told = el("p", { class: "wrong", role: "alert" })
  const question = el("div", { class: "taken", role: "group", hidden: true })
  const send = (/** @type {string} */ name) => {
    told.textContent = ""
    question.hidden = true
    wish({ array: anew.checked ? "new" : "now", name, ...Object.fromEntries(counts.map(one => [one.name, one.input.value])) })
  }
  const main = el("button", { type: "button", class: "button button--main", onclick: () => send("") }, words.use)
  const follow = () => { for (const { row } of counts) row.hidden = !anew.checked }
  const element = el("section", { class: "use", "aria-labelledby": "sheet-use", hidden: true },
    el("h3", { id: "sheet-use" }, words.use_title), ready,
    el("div", { role: "radiogroup", "aria-labelledby": "sheet-use" },
      el("label", { class: "way" }, kept, now), el("label", { class: "way" }, anew, el("span", {}, words.use_new))),
    el("div", { class: "counts" }, ...counts.map(one => one.row)),
    el("p", { class: "quiet small" }, words.use_note),
    question, told, el("div", { class: "onward" }, main))
  follow()
  return {
    element,
    /** @param {Sheet.Use} use what is on the bench now */
    show(use) {
      now.textContent = use.now
      for (const { name, input } of counts) if (!input.value) input.value = use[/** @type {"strings" | "modules"} */ (name)]
    },
    /** @param {string} title of the module; nothing while there is none */
    offer(title) {
      element.hidden = !title
      ready.textContent = words.use_ready.replace("{title}", title)
      question.hidden = true
      told.textContent = ""
    },
    /** Whether it is told here.
     * @param {string} text */
    told(text) {
      const here = !element.hidden && element.contains(element.querySelector(":focus"))
      if (here) told.textContent = text
      return here
    },
    /** What is wrong with its own fields; gives back what belongs elsewhere.
     * @param {Sheet.Problem[]} problems */
    judge(problems) {
      for (const one of counts) one.wrong(problems.find(({ field }) => field === one.name)?.text ?? "")
      counts.find(one => problems.some(({ field }) => field === one.name))?.input.focus()
      return problems.filter(({ field }) => !COUNTS.includes(field))
    },
    /** @param {string} text that another module has the name */
    ask(text) {
      const buttons = [["replace", words.replace], ["both", words.both]].map(([name, label]) =>
        el("button", { type: "button", class: "button button--edge", onclick: () => { send(name); main.focus() } }, label))
      question.replaceChildren(el("p", { id: "sheet-taken" }, text), el("div", { class: "onward" }, ...buttons))
      question.setAttribute("aria-labelledby", "sheet-taken")
      question.hidden = false
      buttons[0].focus()
    },
  }
}

/** @type {(name: string, label: string) => { name: string, row: HTMLElement, input: HTMLInputElement, wrong(text: string): void }} */
function countField(name, label) {
  const id = `sheet-use-${name}`
  const wrong = el("p", { class: "wrong", id: `${id}-wrong` })
  const input = el("input", { class: "input number", id, type: "text", inputmode: "numeric", autocomplete: "off", "aria-describedby": wrong.id })
  return {
    name, input,
    row: el("div", { class: "field" }, el("label", { for: id }, label), input, wrong),
    wrong(text) {
      wrong.textContent = text
      if (text) input.setAttribute("aria-invalid", "true")
      else input.removeAttribute("aria-invalid")
    },
  }
}
