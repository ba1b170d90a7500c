// @ts-check
// A class beside a search: how phones come in, what they are asked, how they vote, and what was read then.

import { el, withKeys } from "../shared/elements.js"
import { squareOf } from "../shared/square.js"

/**
 * @param {Field.Words} words
 * @param {Field.Say} say
 */
export function makeRoom(words, say) {
  const body = el("div", { class: "room__body" })
  const voice = el("p", { class: "unseen", role: "status" })
  const element = el("section", { class: "part room", "aria-label": words.room }, el("h4", { class: "caps" }, words.room), body, voice)
  let drawn = ""

  /** @type {(act: string, text: string, value?: unknown, main?: boolean) => HTMLElement} */
  const button = (act, text, value = null, main = false) =>
    el("button", { type: "button", class: `button ${main ? "button--main" : "button--edge"}`, "data-act": act, onclick: () => say(act, value) }, text)

  /** @type {(room: Field.Room) => HTMLElement} */
  const joining = (room) => el("div", { class: "choices" in room.vote ? "join join--aside" : "join" },
    "choices" in room.vote ? null : squareOf(room, words.join), // the question takes its room
    el("p", { class: "join__text" }, el("span", { class: "quiet" }, words.join), el("span", {}, room.address), el("b", { class: "join__code" }, room.code)),
    room.far ? el("p", { class: "wrong" }, room.far) : null)

  /** @type {(vote: Field.Vote, one: Field.Choice, k: number) => HTMLElement} */
  const choice = (vote, one, k) => {
    const fill = el("span", { class: "votes__fill" })
    fill.style.width = `${100 * one.share}%`
    return el("li", { class: !vote.asking && k === vote.most ? "wish wish--most" : "wish" },
      el("span", { class: "letter", "aria-hidden": "true" }, one.letter),
      el("div", { class: "wish__text" }, el("span", {}, one.text, " ", el("span", { class: "cost" }, one.minutes)),
        vote.asking ? null : el("span", { class: "votes" }, el("span", { class: "votes__bar", "aria-hidden": "true" }, fill),
          el("b", {}, String(one.votes)), one.percent ? el("span", { class: "quiet" }, ` ${one.percent}`) : null)),
      vote.asking || k === vote.most ? null : el("button", { type: "button", class: "button button--edge", "data-act": `voted-${k}`, onclick: () => say("voted", k) }, words.do_this.replace("{letter}", one.letter)))
  }

  /** @type {(vote: Field.Vote) => HTMLElement} */
  const voting = (vote) => el("div", { class: "vote" },
    el("h4", { class: "vote__question" }, words.ask),
    el("ol", { class: "wishes" }, ...vote.choices.map((one, k) => choice(vote, one, k))),
    el("p", { class: "vote__count" }, vote.count, vote.tied && !vote.asking ? ` · ${words.tied}` : ""),
    el("p", { class: "room__acts" },
      vote.asking ? button("end-vote", words.end_vote, null, true) : vote.most >= 0 ? button("voted", words.do_most, vote.most, true) : null,
      button("drop-vote", words.drop_vote)))

  /** @type {(last: Field.Voted) => HTMLElement} */
  const done = (last) => el("div", { class: last.unsafe ? "done done--unsafe" : "done" },
    el("p", {}, el("span", { class: "letter" }, last.letter), " ", last.text, last.wanted ? el("span", { class: "quiet" }, ` · ${last.wanted}`) : ""),
    last.refused ? el("p", { class: "done__refused" }, last.refused) : null,
    last.found.length ? el("dl", { class: "done__found" }, ...last.found.map(([label, value, doubt]) => el("div", {},
      el("dt", {}, label), el("dd", {}, el("b", {}, value), " ", el("span", { class: "doubt" }, doubt))))) : null)

  /** @type {(room: Field.Room) => (HTMLElement | null)[]} */
  const opened = (room) => {
    const vote = "choices" in room.vote ? /** @type {Field.Vote} */ (room.vote) : null
    const last = "letter" in room.last ? /** @type {Field.Voted} */ (room.last) : null
    const ready = !vote && !room.over
    return [
      joining(room),
      vote ? voting(vote) : null,
      last && !vote && !room.over ? done(last) : null,
      el("p", { class: "room__acts" },
        ready && !room.working ? button("ask", words.ask_class, null, true) : null,
        room.working ? el("span", { class: "quiet", role: "status" }, words.choosing) : null,
        room.own && !vote ? button("class", words.room_close, false) : null),
    ]
  }

  return {
    element,
    /** @param {Field.Room | Record<string, never>} room */
    show(room) {
      element.hidden = !("open" in room)
      element.classList.toggle("room--open", "code" in room)
      const key = JSON.stringify(room)
      if (element.hidden || key === drawn) return
      drawn = key
      const one = /** @type {Field.Room} */ (room)
      const held = withKeys(body)
      const name = held instanceof HTMLElement && body.contains(held) ? held.dataset.act ?? "" : null
      const parts = one.open ? opened(one) : [el("p", { class: "room__acts" }, button("class", words.room_open, true), el("span", { class: "quiet small" }, words.room_hint))]
      body.replaceChildren(...parts.filter((part) => part !== null))
      voice.textContent = "last" in one && "letter" in one.last ? `${one.last.text}: ${one.last.refused || one.last.found.map((found) => found.join(" ")).join("; ")}` : ""
      if (name === null) return
      const fields = /** @type {HTMLElement[]} */ ([...body.querySelectorAll("button")])
      ;(fields.find((again) => again.dataset.act === name) ?? body.querySelector(".button--main") ?? fields[0])?.focus({ preventScroll: true })
    },
  }
}
