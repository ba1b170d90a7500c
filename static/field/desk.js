// @ts-check
// The field desk, in the place of the lesson: the plant's switches, the instruments, and the log of what was read.

import { download } from "../shared/download.js"
import { el, withKeys } from "../shared/elements.js"
import { inBrowser, inTab } from "../shared/keep.js"
import { makeOutbox } from "../shared/outbox.js"
import { hearRadioKeys } from "../shared/radio_keys.js"
import { makeAnswer } from "./answer.js"
import { makeCurve } from "./curve.js"
import { makeDebrief } from "./debrief.js"
import { makeKit } from "./kit.js"
import { makeLog } from "./log.js"
import { makePicture } from "./picture.js"
import { makePlant } from "./plant.js"
import { makeRoom } from "./room.js"
import { makeStart } from "./start.js"

/** @param {{ model: Field.Model }} component */
export function render({ model }) {
  const { words } = model
  const page = document.documentElement
  const outbox = makeOutbox(model, {
    heard: (/** @type {Field.Answer} */ message) => {
      if (message.curve) document.dispatchEvent(new CustomEvent("pvsim:curve", { detail: new File([message.text ?? ""], message.curve, { type: "text/csv" }) }))
      if (message.file) download(message.file, message.text ?? "", message.mime ?? "text/plain")
    },
  })
  /** @type {Field.Say} */
  const say = (what, value = null) => outbox.say({ do: what, value })

  const title = el("h3", { class: "title", tabindex: -1 }, words.title)
  const minutes = el("p", { class: "minutes number" })
  const shut = el("button", { type: "button", class: "button button--icon shut", "aria-label": words.close, title: words.close, onclick: () => say("close") }, "×")
  const barred = el("p", { class: "barred", role: "status" })
  const anew = el("button", { type: "button", class: "button button--edge", "data-act": "anew", onclick: () => say("clear") }, words.clear)
  const plant = makePlant(words, say)
  const kit = makeKit(words, say)
  const log = makeLog(words, say)
  const room = makeRoom(words, say)
  const picture = makePicture(words)
  const curve = makeCurve(words, say)
  const start = makeStart(words, model.start, say)
  const debrief = makeDebrief(words, say, () => sheet.scrollIntoView({ block: "start" }))
  const hint = el("button", { type: "button", class: "button button--edge", "data-act": "hint", onclick: () => say("hint") })
  const noted = el("p", { class: "barred", role: "status" })
  const answer = makeAnswer(words, say)
  const tabs = words.tabs.map(([value, label]) => el("button", { type: "button", role: "tab", id: `field-${value}`, "aria-controls": "field-body", "data-tab": value, onclick: () => say("tab", value) }, label))
  const row = el("div", { class: "choice", role: "tablist", "aria-label": words.tabs_label }, ...tabs)
  hearRadioKeys(row)
  const about = el("p", { class: "quiet small" })
  const otherwise = el("span")
  const away = el("p", { class: "barred" }, otherwise, " ", el("button", { type: "button", class: "button button--edge", "data-act": "again", onclick: () => say("again") }, words.again))
  const leave = el("button", { type: "button", class: "button button--edge", "data-act": "leave", onclick: () => say("leave") })
  const tools = el("div", { class: "tools" }, kit.element, plant.element)
  const body = el("div", { class: "body", id: "field-body", role: "tabpanel" },
    start.element, away, room.element, debrief.element, log.latest, picture.element, curve.element, tools, hint, noted, answer.element, log.element)
  const sheet = el("div", { class: "sheet" },
    el("header", { class: "head" }, el("div", { class: "head__row" }, title, minutes, shut), about, row),
    barred, anew, body, leave, el("p", { class: "quiet small caution-foot" }, words.caution))
  sheet.addEventListener("keydown", (event) => {
    if (event.key !== "Escape" || event.defaultPrevented) return
    event.stopPropagation()
    say("close")
  })
  let open = false, sought = ""
  /** An open class stands first, and its button where one is asked for last. */
  const placeRoom = () => {
    const before = "code" in model.room ? debrief.element : log.element
    if (room.element.nextElementSibling === before) return
    const held = withKeys(room.element)
    const had = held instanceof HTMLElement && room.element.contains(held)
    before.before(room.element)
    if (!had) return
    held.focus({ preventScroll: true })
    room.element.scrollIntoView({ block: "nearest" })
  }
  /** A search has begun, or what was pressed has gone: the desk is read from its title on, which has the keys. */
  const goToTop = () => requestAnimationFrame(() => {
    title.focus({ preventScroll: true })
    sheet.scrollIntoView({ block: "start" })
  })

  const show = () => {
    const { now } = model
    inTab.set("search", now.kept)
    page.toggleAttribute("data-field", now.open)
    if (now.open) page.dataset.field = "title" in now.search || now.tab === "search" ? "search" : ""
    if (now.open !== open) turn(now.open)
    if (!now.open) return
    const held = withKeys(sheet)
    if (now.pasts) inBrowser.set("searches", now.pasts)    // nothing said forgets nothing
    start.advise(now.practice)
    start.list(now.practised)
    const { search } = now
    const on = "title" in search
    const { tab } = now
    const beginning = !on && tab === "search"
    for (const one of tabs) {
      const holds = one.dataset.tab === tab
      one.setAttribute("aria-selected", String(holds))
      one.tabIndex = holds ? 0 : -1
    }
    title.textContent = on ? search.title : words.title
    about.textContent = on ? search.about : ""
    about.hidden = !about.textContent
    row.hidden = on
    body.setAttribute("aria-labelledby", on ? "" : `field-${tab}`)
    minutes.textContent = words.minutes.replace("{n}", now.minutes)
    minutes.hidden = beginning
    barred.textContent = now.barred
    barred.hidden = !now.barred
    const voting = "vote" in model.room && "choices" in model.room.vote
    const told = "last" in model.room && "letter" in model.room.last
    anew.hidden = !now.gone
    tools.hidden = !!now.barred || beginning || (on && search.over) || voting
    start.element.hidden = !beginning || !!now.barred
    log.element.hidden = beginning
    picture.element.hidden = beginning || voting || !("rows" in model.picture)
    curve.element.hidden = beginning || voting || !("figure" in model.curve)
    away.hidden = !on || search.as_seen || search.over
    otherwise.textContent = on && search.on_bench ? words.touched : words.not_there
    leave.hidden = !on
    answer.element.hidden = hint.hidden = !on || search.over || voting
    noted.textContent = on ? search.noted : ""
    noted.hidden = !noted.textContent
    debrief.element.hidden = !on || !search.over
    log.latest.classList.toggle("covered", beginning || voting || (told && model.room.last.number === (model.log.lines ?? []).length - 1) || (on && search.over))
    if (on && search.title !== sought && !search.over && !document.activeElement?.closest("#roof")) goToTop()
    sought = on ? search.title : ""
    if (on) {
      const there = /** @type {Field.Search} */ (search)
      answer.show(there)
      leave.textContent = there.leave
      hint.replaceChildren(words.hint, " ", el("span", { class: "cost" }, there.hint))
    }
    plant.show(now)
    kit.show(now)
    log.tell(now)
    if (held instanceof HTMLElement && sheet.contains(held) && !held.getClientRects().length) goToTop()
  }

  // The keys follow: to the desk as it opens, back to the drawing as it closes. Whoever opens it with the
  // drawing's own tool goes on there, and the page stays where it is.
  /** @param {boolean} wanted */
  const turn = (wanted) => {
    const held = document.activeElement?.closest("#field, #roof")
    open = wanted
    if (open && held?.id === "roof") return
    if (open) {
      requestAnimationFrame(() => {
        title.focus({ preventScroll: true })
        if (matchMedia("(max-width: 1099px)").matches) document.getElementById("lesson")?.scrollIntoView({ block: "start" })
      })
    } else if (held?.id === "field") document.getElementById("roof")?.focus({ preventScroll: true })
  }

  const past = inBrowser.get("searches")
  if (past) say("pasts", past)
  show()
  log.show(model.log.lines ?? [])
  picture.show(model.picture)
  room.show(model.room)
  placeRoom()
  curve.show(model.curve)
  debrief.show(model.debrief)
  model.on("now", show)
  model.on("room", () => { room.show(model.room); placeRoom(); show() })
  model.on("debrief", () => debrief.show(model.debrief))
  model.on("picture", () => { picture.show(model.picture); show() })
  model.on("curve", () => { curve.show(model.curve); show() })
  model.on("wrong", () => start.judge(model.wrong))
  model.on("log", () => { log.show(model.log.lines ?? []); show() })
  model.on("remove", () => {
    outbox.close()
    page.removeAttribute("data-field")
  })
  return sheet
}
