// @ts-check
// The page on which a class answers. An answer stays here until the server says that it is on disk.

import { inTab } from "../shared/keep.js"
import { connect } from "./line.js"

/** @type {Room.PhoneWords} */
const words = JSON.parse(document.getElementById("words")?.textContent ?? "{}")
/** @returns {NodeListOf<HTMLInputElement>} */
const radios = () => document.querySelectorAll("#answers input[type=radio]")
/** @returns {NodeListOf<HTMLInputElement | HTMLButtonElement>} */
const fields = () => document.querySelectorAll("#answers input, #answers button")
/** @type {(id: string) => any} */
const part = id => document.getElementById(id)
const code = part("main").dataset.code

// What this tab remembers: who it is (a random word, for this class alone) and an answer on its way.
const token = () => Array.from(crypto.getRandomValues(new Uint8Array(16)), byte => byte.toString(16).padStart(2, "0")).join("")
const voter = inTab.get("voter." + code) || token()
inTab.set("voter." + code, voter)
/** @returns {Room.Way | null} */
const readWay = () => { try { return JSON.parse(inTab.get("way." + code) || "null") } catch { return null } }

/** @type {Room.Poll | null} */
let poll = null             // what is asked
let way = readWay()         // the answer that is on its way: { poll, round, value }
/** @type {Room.Kept | null} */
let kept = null             // the answer that is on disk: { poll, round, value, typed }
/** @type {Room.Way | null} */
let flight = null           // the one that was handed to the connection and has not come back
let timer = 0

/** @type {(one: Room.Asked | null, other: Room.Asked | null) => boolean} */
const same = (one, other) => one != null && other != null && one.poll === other.poll && one.round === other.round
/** What is asked now. */
const here = () => poll && { poll: poll.id, round: poll.round }

/** @type {(text: string, look?: string) => void} */
const say = (text, look = "") => {
  const said = part("said")
  if (said.textContent !== text) said.textContent = text
  said.dataset.look = look
}

const line = connect(`/join/${code}/socket${location.search}`, {
  up() {
    part("link").textContent = words.connected
    part("link").dataset.look = "good"
    flight = null
    line.send({ do: "hello", voter }, false)
  },
  down() {
    part("link").textContent = words.lost
    part("link").dataset.look = "warn"
    flight = null
  },
  hear(message) {
    if ("room" in message) show(message.room)
    else if ("known" in message) know(message.known)
    else if ("kept" in message) acknowledge(message.kept)
    else if ("refused" in message) refuse(message)
  },
})

const push = () => {
  clearTimeout(timer)
  if (!way || flight || !poll?.asking || !same(way, here())) return
  if (line.send({ do: "answer", ...way })) flight = way
}

/** @param {number | string} value */
const answer = value => {
  const asked = here()
  if (!asked) return
  way = { ...asked, value }
  inTab.set("way." + code, JSON.stringify(way))
  mark()
  push()                      // or when the one before it has come back: the last one wins
}

// What the server had before a gap.
/** @param {Room.Way} found */
const know = found => {
  kept = { ...found, typed: found.value }
  const field = part("number")
  if (field && !field.value && same(kept, here())) field.value = kept.typed
  mark()
}

/** @param {Room.Way} found */
const acknowledge = found => {
  if (flight && same(found, flight)) {
    kept = { ...found, typed: flight.value }
    if (way === flight) done()
  }
  flight = null
  mark()
  push()
}

const done = () => { way = null; inTab.forget("way." + code) }

/** @type {(message: { refused: Room.Asked, why: string, again: boolean }) => void} */
const refuse = ({ refused, why, again }) => {
  const mine = flight === way
  flight = null
  if (!mine || !same(refused, way)) { push(); return }
  if (again) {
    say(why, "warn")
    timer = setTimeout(push, 1500 + 1500 * Math.random())
    return
  }
  done()
  mark()
  say(why, "bad")
  part("number")?.setAttribute("aria-invalid", "true")
}

// What the page shows

const mark = () => {
  if (!poll) return
  const mine = same(kept, here()) ? kept : null
  const shown = way && same(way, here()) ? way.value : mine?.typed
  for (const input of radios()) {
    const on = input.checked = Number(input.value) === shown
    const label = input.closest("label")
    if (label) Object.assign(label.dataset, { on: String(on), kept: String(on && !way) })
  }
  if (same(way, here())) say(poll.asking ? words.sending : words.too_late, poll.asking ? "" : "bad")
  else if (mine) say(poll.asking ? words.kept : words.kept_closed, "good")
  else say(poll.asking ? "" : words.none_closed)
}

/** @param {{ open: boolean, poll: Room.Poll | null }} room */
const show = room => {
  const before = here()
  poll = room.open ? room.poll : null
  part("ask").hidden = !poll
  part("wait").hidden = Boolean(poll)
  if (!room.open) {
    line.end()
    done()
    part("wait-title").textContent = words.over
    part("wait-text").textContent = ""
    part("link").textContent = ""
    say("")
    return
  }
  if (!poll) {
    part("wait-title").textContent = words.wait
    part("wait-text").textContent = words.wait_more
    say("")
    return
  }
  if (!same(before, here())) ask(poll)
  if (way && (!same(way, here()) || !poll.asking) && !flight) {
    // Closed before the answer could be sent: said once, then the round is over for this phone too.
    const late = same(way, here())
    done()
    mark()
    if (late) say(words.too_late, "bad")
  } else mark()
  const { asking } = poll
  for (const input of fields()) input.disabled = !asking
  part("ask").dataset.asking = String(asking)
  push()
}

/**
 * @template {keyof HTMLElementTagNameMap} K
 * @param {K} tag
 * @param {object} [values] properties of it
 * @param {Node[]} children
 * @returns {HTMLElementTagNameMap[K]}
 */
const make = (tag, values = {}, ...children) => {
  const one = document.createElement(tag)
  Object.assign(one, values)
  one.append(...children)
  return one
}

/** @param {Room.Poll} poll */
const ask = poll => {
  part("stage").textContent = poll.vote ? words.vote : poll.round === 2 ? words.second : words.first
  part("stage-more").textContent = poll.round === 2 ? words.second_more : ""
  part("question").innerHTML = poll.question
  part("answers").replaceChildren(poll.kind === "number" ? numberField(poll.unit) : choices(poll.choices))
  scrollTo(0, 0)
}

/** @param {string[]} texts */
const choices = texts => {
  const set = make("fieldset", { className: "choices" })
  set.setAttribute("aria-labelledby", "stage question")
  texts.forEach((html, index) => {
    const input = make("input", { type: "radio", name: "choice", value: String(index) })
    input.addEventListener("change", () => answer(index))
    const letter = make("span", { className: "choice__letter", textContent: String.fromCharCode(65 + index) })
    letter.setAttribute("aria-hidden", "true")
    set.append(make("label", { className: "choice" }, input, letter, make("span", { className: "choice__text", innerHTML: html })))
  })
  return set
}

/** @param {string | undefined} unit */
const numberField = unit => {
  const typed = kept && same(kept, here()) ? String(kept.typed) : ""
  const input = make("input", { id: "number", type: "text", inputMode: "decimal", autocomplete: "off", maxLength: 40, value: typed })
  input.setAttribute("enterkeyhint", "send")
  const sign = make("button", { type: "button", className: "sign", textContent: "±", title: words.sign })
  sign.setAttribute("aria-label", words.sign)
  sign.addEventListener("click", () => {          // a phone's number pad has no minus
    input.value = /^\s*[-−]/.test(input.value) ? input.value.replace(/^\s*[-−]\s*/, "") : "−" + input.value.trim()
    input.focus()
  })
  const label = make("label", { textContent: unit ? `${words.number} (${unit})` : words.number })
  label.setAttribute("for", "number")
  input.addEventListener("input", () => input.removeAttribute("aria-invalid"))
  input.setAttribute("aria-describedby", "said")
  return make("div", { className: "number" }, label,
    make("div", { className: "number__row" }, sign, input),
    make("button", { className: "main", textContent: words.send }))
}

part("ask").addEventListener("submit", (/** @type {Event} */ event) => {
  event.preventDefault()
  if (poll?.asking && poll.kind === "number") answer(part("number").value)
})
