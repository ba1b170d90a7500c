// @ts-check
// The dialog of a measured curve: the file and what it is held against on one side, what came out on the other.

import { el } from "../shared/elements.js"
import { fileButton } from "../shared/file_button.js"
import { makeAgainst } from "./against.js"
import { makeLaid } from "./laid.js"
import { makeRanked } from "./ranked.js"
import { makeRecognised } from "./recognised.js"

/**
 * @param {Traced.Dialog} given
 * @param {Traced.Say} say
 */
export function makeDialog(given, say) {
  const { words, most } = given
  const told = el("p", { class: "wrong", role: "alert" })
  const found = makeRecognised(given, say)
  const against = makeAgainst(given, values => say("lay", { ...values, width: Math.floor(roomFor(results)) }))
  const laid = makeLaid(words)
  const ranked = makeRanked(words, number => say("plant", number))
  const unlaid = el("p", { class: "wrong", role: "alert" })
  const stale = el("p", { class: "traced-stale", role: "status" })
  const empty = el("p", { class: "quiet" }, words.empty)
  const working = el("span", { role: "status" })
  const stop = el("button", { type: "button", class: "button button--edge", onclick: () => say("stop") }, words.stop)
  const busy = el("div", { class: "traced-busy", hidden: true }, el("progress", { "aria-label": words.results }), working, stop)
  const stopped = el("p", { class: "quiet", role: "status" })

  const source = el("section", { class: "traced-source" },
    el("p", { class: "quiet" }, words.lead), el("p", { class: "traced-kept" }, words.kept),
    start(words, { read: file => read(file), example: () => say("example") }), told,
    found.element, against.element)
  const results = el("section", { class: "traced-results", "aria-labelledby": "traced-results", tabindex: 0 },
    el("h3", { id: "traced-results" }, words.results), stale, empty, unlaid, laid.element, busy, stopped, ranked.element)
  const title = el("h2", { id: "traced-heading", tabindex: -1 }, words.title)
  const dialog = el("dialog", { class: "traced", "aria-labelledby": "traced-heading" },
    el("div", { class: "traced-head" }, title, el("button", { type: "button", class: "button button--edge", onclick: () => dialog.close() }, words.close)),
    el("div", { class: "traced-body" }, source, results))

  /** @param {File} file */
  const read = async file => {
    const { name, size } = file
    say("read", size > most ? { name, size } : { name, base64: await inBase64(file) })
  }
  let shown = false
  const changed = () => { if (shown) stale.textContent = words.behind }
  source.addEventListener("input", changed)
  const right = () => dialog.close()
  document.addEventListener("pvsim:right", right)

  return {
    element: dialog,
    read,
    close() { document.removeEventListener("pvsim:right", right) },
    show() {
      dialog.showModal()
      title.focus()
    },
    /** @param {Traced.Answer} message */
    hear(message) {
      if (message.bench) against.bench(message.bench)
      if (message.stale !== undefined) stale.textContent = message.stale && shown ? words.stale : ""
      if (message.told !== undefined) told.textContent = message.told
      if (message.found) {
        found.show(message.found, message.fresh ?? false)
        against.offer(null)
        if (message.fresh && shown) stale.textContent = words.behind
      }
      if (message.wrong !== undefined) found.wrong(message.wrong)
      if (message.conditions) against.fill(message.conditions, message.fresh ?? false)
      if (message.ready !== undefined) against.offer(message.ready)
      if (message.problems) against.judge(message.problems)
      if (message.unlaid !== undefined) unlaid.textContent = message.unlaid
      if (message.unlaid) laid.clear()
      if (message.working !== undefined) {
        busy.hidden = message.working === ""
        working.textContent = message.working === "lay" ? words.working_lay : message.working === "rank" ? words.working_rank : ""
        stopped.textContent = message.stopped ? words.stopped : ""
        if (message.working === "lay") empty.hidden = true
      }
      if (message.laid) {
        shown = empty.hidden = true
        laid.show(message.laid)
        ranked.clear()
        inSight(results)
      }
      if (message.ranking) ranked.show(message.ranking)
      if (message.unplanted !== undefined) ranked.wrong(message.unplanted)
      if (message.used) dialog.close()
    },
  }
}

/** px across that a figure has in a pane.
 * @param {HTMLElement} pane */
const roomFor = pane => {
  const { paddingLeft, paddingRight } = getComputedStyle(pane)
  return pane.clientWidth - parseFloat(paddingLeft) - parseFloat(paddingRight)
}

/** Where the screen is narrow, what came out lies below the rest.
 * @param {HTMLElement} node */
const inSight = node => { if (node.getBoundingClientRect().top > innerHeight / 2) node.scrollIntoView({ block: "start" }) }

/** Bytes and not text: a tracer's file may be in a code of its own.
 * @param {File} file
 * @returns {Promise<string>} */
const inBase64 = file => new Promise((done, failed) => {
  const reader = new FileReader()
  reader.onload = () => done(String(reader.result).replace(/^[^,]*,?/, ""))
  reader.onerror = () => failed(reader.error)
  reader.readAsDataURL(file)
})

/** Where a curve can come from.
 * @type {(words: Traced.Words, does: { read(file: File): void, example(): void }) => HTMLElement} */
function start(words, { read, example }) {
  const kinds = ".csv,.tsv,.txt,.dat,.asc,text/plain,text/csv"
  return el("div", { class: "traced-start", role: "group", "aria-label": words.start },
    ...fileButton(words.open, kinds, read, { press: { class: "button button--main" } }),
    el("span", { class: "quiet small" }, words.drop),
    el("button", { type: "button", class: "button button--edge", onclick: example }, words.example))
}
