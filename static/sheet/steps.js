// @ts-check
// The reasoning as steps: each is a question, and what answers it comes when somebody asks for it.

import { el } from "../shared/elements.js"
import { drawScale } from "./scale.js"
import { makeWays } from "./ways.js"

/** How many of the steps are shown, from one sheet to the next. */
export function makeReveal() {
  let shown = 1, all = false
  return {
    /** @param {number} count of steps there are now */
    begin(count) { shown = all ? count : Math.min(shown, count) },
    next() { shown += 1 },
    /** From now on, of every sheet. */
    all() { all = true },
    /** @param {number} count */
    shown: count => Math.min(shown, count),
  }
}

/** @param {Sheet.Words} words */
export function makeSteps(words) {
  const reveal = makeReveal()
  /** @type {{ item: HTMLElement, answer: HTMLElement, ask: HTMLElement }[]} */
  let drawn = []
  const list = el("ol", { class: "steps" })
  const next = el("button", { type: "button", class: "button button--main", onclick: () => { reveal.next(); update(true) } }, words.next)
  const every = el("button", { type: "button", class: "button button--edge", onclick: () => { reveal.all(); reveal.begin(drawn.length); update(false) } }, words.all)
  const told = el("span", { class: "quiet small", role: "status" })
  const row = el("div", { class: "onward" }, next, every, told)
  const element = el("div", { hidden: true }, list, row)

  /** @param {boolean} look whether what has come is brought into sight */
  const update = look => {
    const count = drawn.length, shown = reveal.shown(count)
    drawn.forEach(({ item, answer, ask }, k) => {
      item.hidden = k > shown
      answer.hidden = k >= shown
      ask.hidden = k !== shown
    })
    // Those that have nothing more to do stay where the keys are.
    for (const button of [next, every]) button.setAttribute("aria-disabled", String(shown >= count))
    told.textContent = (shown >= count ? words.done : words.step.replace("{at}", String(shown))).replace("{count}", String(count))
    if (look) (drawn[shown] ?? drawn[shown - 1])?.item.scrollIntoView({ block: "nearest" })
  }
  return {
    element,
    /** @param {Sheet.Step[]} steps */
    show(steps) {
      drawn = steps.map(step => {
        const answer = el("div", { class: "answer" }, ...contents(step, words))
        const ask = el("p", { class: "quiet small" }, words.hidden)
        return { answer, ask, item: el("li", { class: `step step--${step.id}` }, el("h4", {}, step.question), ask, answer) }
      })
      list.replaceChildren(...drawn.map(one => one.item))
      element.hidden = false
      reveal.begin(steps.length)
      update(false)
    },
  }
}

/** @type {(step: Sheet.Step, words: Sheet.Words) => (HTMLElement | null)[]} */
const contents = ({ findings, scale, ways, table, note, caution }, words) => [
  scale ? drawScale(scale) : null,
  findings.length ? el("ul", { class: "findings" }, ...findings.map(one =>
    el("li", { class: `finding finding--${one.bearing}` }, el("strong", { class: "mark" }, one.mark), " ", one.text))) : null,
  ways ? makeWays(ways, words) : null,
  table ? makeTable(table) : null,
  note ? el("p", { class: "small" }, note) : null,
  caution ? el("p", { class: "caution" }, caution) : null,
]

/** @type {(table: Sheet.Table) => HTMLElement} */
export const makeTable = ({ caption, head, rows, marked }) => el("div", { class: "scroll", tabindex: 0, role: "group", "aria-label": caption },
  el("table", { class: "figures" },
    el("caption", {}, caption),
    el("thead", {}, el("tr", {}, ...head.map((text, k) => (k || text ? el("th", { scope: "col" }, text) : el("td"))))),
    el("tbody", {}, ...rows.map(([name, ...cells], k) =>
      el("tr", { class: marked.includes(k) ? "assumed" : null }, el("th", { scope: "row" }, name), ...cells.map(text => el("td", {}, text)))))))
