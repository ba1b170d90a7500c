// @ts-check
// The dialog of a data sheet: the paper on one side, what follows from it on the other.

import { el } from "../shared/elements.js"
import { fileButton } from "../shared/file_button.js"
import { keepDraft, keptDraft } from "./draft.js"
import { makeForm } from "./form.js"
import { makeSteps } from "./steps.js"
import { makeUse } from "./use.js"

/**
 * @param {Sheet.Dialog} given
 * @param {Sheet.Say} say
 */
export function makeDialog({ words, form: spec, values, most }, say) {
  const told = el("p", { class: "wrong", role: "alert" })
  const form = makeForm(spec, words)
  const steps = makeSteps(words)
  const use = makeUse(words, more => say("use", { ...more, fields: form.read() }))
  const empty = el("p", { class: "quiet" }, words.empty)
  const stale = el("p", { class: "stale", role: "status" })
  const stopped = el("p", { class: "stopped", hidden: true }, words.stopped)
  const status = el("p", { class: "unseen", role: "status" })
  const work = () => say("work", form.read())

  const paper = el("form", { class: "paper", novalidate: true, onsubmit: (/** @type {Event} */ event) => { event.preventDefault(); work() } },
    el("p", { class: "quiet" }, words.lead),
    start(spec.examples, words, most, say),
    told,
    ...form.groups,
    el("div", { class: "foot" },
      el("button", { type: "submit", class: "button button--main" }, words.work),
      el("button", { type: "button", class: "button button--edge", onclick: () => say("save", form.read()) }, words.save)))
  const follows = el("section", { class: "follows", "aria-labelledby": "sheet-follows", tabindex: 0 },
    el("h3", { id: "sheet-follows" }, words.results), stale, empty, steps.element, stopped, use.element)
  const title = el("h2", { id: "sheet-heading", tabindex: -1 }, words.title)
  const dialog = el("dialog", { class: "sheet", "aria-labelledby": "sheet-heading" },
    el("div", { class: "head" }, title, el("button", { type: "button", class: "button button--edge", onclick: () => dialog.close() }, words.close)),
    el("div", { class: "body" }, paper, follows),
    status)

  let worked = false
  const changed = () => {
    keepDraft(form.read())
    if (worked) stale.textContent = words.stale
  }
  paper.addEventListener("input", changed)
  paper.addEventListener("change", changed)
  const right = () => dialog.close()
  document.addEventListener("pvsim:right", right)
  form.set({ ...values, ...keptDraft(Object.keys(values)) })

  return {
    element: dialog,
    close() { document.removeEventListener("pvsim:right", right) },
    show() {
      dialog.showModal()
      title.focus()
    },
    /** @param {Sheet.Answer} message */
    hear({ values: typed, problems, outcome, told: text, taken, used, use: now }) {
      if (now) use.show(now)
      if (typed) {
        form.set(typed)
        form.judge([])
        changed()
        told.textContent = ""
        work()
      }
      if (outcome) {
        worked = true
        stale.textContent = ""
        empty.hidden = true
        steps.show(outcome.steps)
        stopped.hidden = outcome.module !== ""
        use.offer(outcome.module)
        if (!problems?.length) inSight(follows)
      }
      if (text !== undefined) {
        told.textContent = use.told(text) ? "" : text
      }
      if (problems) {
        const others = use.judge(problems)
        form.judge(others)
        if (!outcome || others.length) status.textContent = toMend(others.length, words)
      }
      if (taken) use.ask(taken)
      if (used) dialog.close()
    },
  }
}

/** Where the screen is narrow, what follows lies below the paper.
 * @param {HTMLElement} node */
const inSight = node => { if (node.getBoundingClientRect().top > innerHeight / 2) node.scrollIntoView({ block: "start" }) }

/** @type {(count: number, words: Sheet.Words) => string} */
export const toMend = (count, words) =>
  !count ? "" : count === 1 ? words.wrong_one : words.wrong_more.replace("{count}", String(count))

/** Where a sheet can come from.
 * @type {(examples: [string, string][], words: Sheet.Words, most: number, say: Sheet.Say) => HTMLElement} */
function start(examples, words, most, say) {
  /** @param {File} file */
  const take = async file => {
    const { name, size } = file
    say("read", size > most ? { name, size } : { name, text: await file.text() })
  }
  return el("div", { class: "start", role: "group", "aria-label": words.start },
    ...examples.map(([name, title]) =>
      el("button", { type: "button", class: "button button--edge", onclick: () => say("example", name) }, words.example.replace("{title}", title))),
    ...fileButton(words.open, ".toml,text/plain", take))
}
