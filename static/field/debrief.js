// @ts-check
// A search that is over: the verdict, then the search once more, line by line, with what each reading could have told.

import { el } from "../shared/elements.js"

/**
 * @param {Field.Words} words
 * @param {Field.Say} say
 * @param {() => void} goToTop it stands there, and is read from there on
 */
export function makeDebrief(words, say, goToTop) {
  const head = el("h4", { class: "verdict", tabindex: -1 })
  const rows = el("dl", { class: "facts" })
  const lines = el("ol", { class: "replay" })
  const best = el("ol", { class: "best" })
  const bestBox = el("details", {}, el("summary", {}, words.best), best, el("p", { class: "quiet small" }, words.own_measure))
  const reveal = el("button", { type: "button", class: "button button--edge", "data-act": "reveal", onclick: () => say("reveal") }, words.reveal)
  const waiting = el("p", { class: "quiet", role: "status" }, words.working)
  const failed = el("p", { class: "wrong", role: "alert" })
  const again = el("button", { type: "button", class: "button button--edge", "data-act": "debrief", onclick: () => { held = true; say("debrief") } }, words.work_again)
  const votes = el("section", { class: "part votes-told", "aria-label": words.votes })
  const told = el("div", { class: "part" }, head, rows, reveal, votes,
    el("h4", { class: "caps" }, words.replay), el("p", { class: "quiet small" }, words.replay_lead), lines, waiting, failed, again, bestBox)
  const element = el("section", { class: "part", "aria-label": words.debrief }, told)
  let drawn = "", headed = false, held = false

  return {
    element,
    /** @param {Field.Debrief | Record<string, never>} debrief */
    show(debrief) {
      const there = "head" in debrief
      told.hidden = !there
      headed &&= there
      const key = JSON.stringify(debrief)
      if (!there || key === drawn) return
      drawn = key
      const one = /** @type {Field.Debrief} */ (debrief)
      head.textContent = one.head
      head.className = one.solved ? "verdict verdict--found" : "verdict"
      rows.replaceChildren(...one.rows.flatMap(([label, text]) => [el("dt", {}, label), el("dd", {}, text)]))
      lines.replaceChildren(...one.lines.map((line) => el("li", {},
        el("p", {}, el("span", { class: "quiet" }, `${line.minute} min `), el("b", {}, line.what), line.told ? ` – ${line.told}` : ""),
        line.then ? el("p", { class: "then" }, el("span", { class: "share", "aria-hidden": "true" }, bar(line.share)), `${words.then} ${line.then}`) : null,
        line.better ? el("p", { class: "better" }, `${words.better} ${line.better}`) : null)))
      votes.hidden = !("rows" in one.votes)
      votes.replaceChildren(...("rows" in one.votes ? votesOf(/** @type {Field.Votes} */ (one.votes), words) : []))
      best.replaceChildren(...one.best.map((text) => el("li", {}, text)))
      waiting.hidden = !one.working
      bestBox.hidden = one.working || !!one.failed
      failed.textContent = one.failed
      failed.hidden = again.hidden = !one.failed
      if (held && !one.failed) head.focus({ preventScroll: true }) // the button that was pressed has gone
      held &&= !!one.failed
      if (headed) return
      headed = true
      head.focus({ preventScroll: true })
      goToTop()
    },
  }
}

/** @param {number} share */
const bar = (share) => {
  const inner = el("span", { class: "share__fill" })
  inner.style.width = `${100 * share}%`
  return inner
}

/**
 * How a class voted: sentences, then a row for each vote with what was done against the best that was offered.
 * @param {Field.Votes} votes
 * @param {Field.Words} words
 */
const votesOf = (votes, words) => [
  el("h4", { class: "caps" }, words.votes),
  ...votes.lead.map((text) => el("p", {}, text)),
  el("table", { class: "figures" },
    el("caption", { class: "unseen" }, words.votes),
    el("thead", {}, el("tr", {}, ...votes.head.map((text) => el("th", { scope: "col" }, text)))),
    el("tbody", {}, ...votes.rows.map((row, k) => el("tr", {}, el("th", { scope: "row" }, String(k + 1)),
      el("td", {}, row.done, rateBar(row.done_share, "done"), el("span", {}, row.done_rate), el("span", { class: "quiet" }, row.told)),
      el("td", {}, row.best, rateBar(row.best_share, "best"), el("span", {}, row.best_rate)),
      el("td", {}, row.voted))))),
  el("p", { class: "quiet small" }, words.own_measure),
]

/**
 * @param {number} share
 * @param {string} whose
 */
const rateBar = (share, whose) => el("span", { class: `rate rate--${whose}`, "aria-hidden": "true" }, bar(share))
