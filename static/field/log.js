// @ts-check
// The log: the newest line first, each reading with its uncertainty; what was not done says why.

import { el } from "../shared/elements.js"

/**
 * @param {Field.Words} words
 * @param {Field.Say} say
 */
export function makeLog(words, say) {
  const latest = el("p", { class: "latest", role: "status" })
  const body = el("tbody")
  const table = el("table", { class: "figures log" },
    el("caption", { class: "unseen" }, words.log),
    el("thead", {}, el("tr", {}, ...words.columns.map((title) => el("th", { scope: "col" }, title)))), body)
  const empty = el("p", { class: "quiet small" }, words.empty)
  const elsewhere = el("p", { class: "barred small" }, words.elsewhere)
  const doubt = el("p", { class: "quiet small" }, words.doubt)
  const meters = el("input", { class: "input number meters", type: "text", inputmode: "numeric", id: "field-meters", title: words.meters_hint })
  meters.addEventListener("change", () => say("meters", meters.value))
  const set = el("div", { class: "field field--row" }, el("label", { for: meters.id }, words.meters), meters)
  const clear = el("button", { type: "button", class: "button button--edge", "data-act": "clear", onclick: () => say("clear") }, words.clear)
  const save = el("button", { type: "button", class: "button button--edge", "data-act": "save", onclick: () => say("save") }, words.save)
  const foot = el("div", { class: "log__foot" }, clear, save, set)
  const element = el("section", { class: "part part--log", "aria-label": words.log },
    el("h4", { class: "caps" }, words.log), empty, elsewhere, table, doubt, foot)

  return {
    element,
    latest,
    /** @param {Field.Line[]} log */
    show(log) {
      body.replaceChildren(...log.toReversed().flatMap((line) => [...rowsOf(line), ...changeOf(line, words)]))
      empty.hidden = log.length > 0
      table.hidden = doubt.hidden = log.length === 0
      save.hidden = log.length === 0
      const last = log.at(-1)
      // There from the start: else the first reading would move the instrument that is pressed twice.
      latest.className = !last ? "latest latest--none" : last.unsafe ? "latest latest--unsafe" : "latest"
      latest.replaceChildren(...(last ? sentenceOf(last) : [words.none]))
    },
    /** @param {Field.Now} now */
    tell(now) {
      if (meters !== /** @type {ShadowRoot} */ (meters.getRootNode()).activeElement) meters.value = String(now.meters)
      elsewhere.hidden = !now.elsewhere
      set.hidden = clear.hidden = "title" in now.search
    },
  }
}

/** @param {Field.Line} line */
const rowsOf = (line) => {
  const head = [el("td", { class: "log__minute" }, line.minute)]
  if (line.refused) {
    return [el("tr", { class: line.unsafe ? "refused refused--unsafe" : "refused" }, ...head,
      el("td", { colspan: 3 }, el("b", {}, line.what), line.where ? ` ${line.where}` : "", el("p", { class: "why" }, line.refused)))]
  }
  if (line.said) {
    return [el("tr", { class: "hinted" }, ...head, el("td", { colspan: 3 }, el("b", {}, line.what), el("p", { class: "why" }, line.said)))]
  }
  const first = line.found[0]
  const several = line.found.length > 1    // each by its name, in a line of its own
  const rows = [el("tr", {}, ...head, el("td", { class: "log__what", colspan: line.where ? 1 : 2 }, line.what),
    line.where ? el("td", { class: "log__where" }, line.where) : null,
    el("td", { class: "log__value" }, ...(first && !several ? figure(first) : []), line.set ? el("span", { class: "log__range" }, line.range) : null))]
  if (line.note) rows.push(el("tr", { class: "more" }, el("td"), el("td", { class: "log__note", colspan: 3 }, line.note)))
  for (const one of several ? line.found : []) {
    rows.push(el("tr", { class: "more" }, el("td"), el("td", { class: "log__value", colspan: 3 }, ...figure(one))))
  }
  return rows
}

/**
 * What became another on the bench before a line, so below it.
 * @param {Field.Line} line
 * @param {Field.Words} words
 */
const changeOf = (line, words) => line.changed
  ? [el("tr", { class: "changed" }, el("td", { colspan: 4 }, el("b", {}, words.changed), ` ${line.changed}`))]
  : []

/** @param {Field.Found} found */
const figure = ([label, value, doubt]) => [label ? el("span", { class: "quiet" }, `${label} `) : null,
  el("span", { class: "figure" }, el("b", {}, value), " ", el("span", { class: "doubt" }, doubt))]

/** @param {Field.Line} line */
const sentenceOf = (line) => {
  const head = [line.what, line.where].filter(Boolean).join(", ")
  if (line.refused || line.said) return [el("b", {}, `${head}.`), " ", line.refused || line.said]
  const note = line.note || line.range
  return [head, ...line.found.flatMap((one) => [one === line.found[0] ? ": " : "; ", ...figure(one)]), note ? el("span", { class: "quiet small" }, ` ${note}`) : null].filter((one) => one !== null)
}
