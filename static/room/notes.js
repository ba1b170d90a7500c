// @ts-check
// The notes window. The key stands behind the # of the address, which no server log ever sees.

import { connect } from "./line.js"

/** @type {Room.NotesWords} */
const words = JSON.parse(document.getElementById("words")?.textContent ?? "{}")
/** Of the page, which has them all.
 * @param {string} id */
const part = id => /** @type {HTMLElement} */ (document.getElementById(id))
const code = part("strip").dataset.code
const key = location.hash.slice(1)
/** @type {(text: string, values: Record<string, unknown>) => string} */
const fill = (text, values) => text.replace(/\{(\w+)\}/g, (_all, name) => String(values[name]))

/** @type {Room.Notes | null} */
let view = null
let ahead_s = 0             // of the server's clock against this one

/** @param {string} text */
const wait = text => {
  part("wait").hidden = !text
  part("wait").textContent = text
  for (const id of ["this", "after", "clock-gauge", "answers-gauge"]) if (text) part(id).hidden = true
}

/** @param {string} text */
const trouble = text => {
  part("trouble").hidden = !text
  part("trouble").textContent = text ? `${words.trouble}: ${text}` : ""
}

const line = code && key ? connect(`/notes/${code}/socket${location.search}`, {
  up() {
    part("link").textContent = words.connected
    part("link").dataset.look = "good"
    line?.send({ do: "hello", key })
  },
  down() {
    part("link").textContent = words.lost
    part("link").dataset.look = "warn"
  },
  hear(message) {
    if ("refused" in message) {
      line?.end()
      part("link").textContent = ""
      wait(words.refused)
    } else if ("trouble" in message) trouble(message.trouble)
    else if ("notes" in message) {
      trouble("")
      view = message.notes
      ahead_s = message.now - Date.now() / 1000
      show(message.notes)
    }
  },
}) : null
if (!line) {
  part("link").textContent = ""
  wait(words.refused)
}

/** @param {Room.Notes} view */
const show = view => {
  if (!view.open) {
    line?.end()
    part("link").textContent = ""
    wait(words.over)
    return
  }
  const any = view.lesson || view.step || view.notes || view.next
  wait(any ? "" : words.wait)
  if (!any) return
  part("this").hidden = false
  part("moment").textContent = words.moments[view.moment] ?? words.now
  part("lesson").textContent = view.lesson
  part("this-title").textContent = view.step || view.lesson || view.title
  put("notes", view.notes || `<p class="quiet">${words.no_notes}</p>`)
  part("after").hidden = false
  const name = part("after-name").firstChild
  if (name) name.textContent = view.next ? words.next + ": " : words.last
  part("after-title").textContent = view.next
  put("after-notes", view.next_notes)
  part("answers-gauge").hidden = !view.round && !view.answers
  part("answers").textContent = view.answers
  part("round").textContent = !view.round ? "" : `${fill(words.round, { number: view.round })}, ${view.asking ? words.asking : words.not_asking}`
  tick()
}

// Only what changed, so that a reader who scrolled in the notes stays there while answers come in.
/** @type {(id: string, html: string) => void} */
const put = (id, html) => {
  if (part(id).dataset.html === html) return
  part(id).dataset.html = html
  part(id).innerHTML = html
}

const tick = () => {
  part("clock-gauge").hidden = view?.started == null || !view.open
  if (view?.started == null) return
  const past_s = Math.max(0, Math.floor(Date.now() / 1000 + ahead_s - view.started))
  const hours = Math.floor(past_s / 3600), two = (/** @type {number} */ number) => String(number).padStart(2, "0")
  const minutes = Math.floor(past_s / 60) % 60
  part("clock").textContent = hours ? `${hours}:${two(minutes)}:${two(past_s % 60)}` : `${minutes}:${two(past_s % 60)}`
  const over_s = view.planned_minutes ? past_s - 60 * view.planned_minutes : -1
  part("planned").textContent = !view.planned_minutes ? ""
    : over_s >= 60 ? fill(words.late, { minutes: Math.floor(over_s / 60) })
    : fill(words.planned, { minutes: Math.round(view.planned_minutes) })
  part("clock-gauge").dataset.look = over_s >= 60 ? "warn" : ""
}
setInterval(tick, 500)
