// @ts-check
// The lecture: one moment at a time, in type for the last row. Python says what stands there
// (lecture/page.py); this draws it, fits it to the screen and hears the keys.

import { download } from "../shared/download.js"
import { el, find, withKeys } from "../shared/elements.js"
import { inTab } from "../shared/keep.js"
import { makeOutbox } from "../shared/outbox.js"
import { makeClock } from "./clock.js"
import { makeCurtain } from "./curtain.js"
import { footing, heading, leaveButton } from "./edges.js"
import { makeFit } from "./fit.js"
import { joinSheet } from "./join.js"
import { hearKeys } from "./keys.js"
import { cueSheet } from "./moments.js"
import { makeNotesWindow } from "./notes_window.js"
import { readySheet } from "./ready.js"
import { resultsSheet } from "./results.js"

const KEPT = "lecture"
const MOST_WAITING = 12

/** @param {{ model: Lecture.Model }} component */
export function render({ model }) {
  const words = model.words
  const page_root = document.documentElement
  const head = el("header", { class: "head" })
  const body = el("div", { class: "body" })
  const more = el("p", { class: "more", hidden: true }, words.more)
  const foot = el("footer", { class: "foot" })
  const voice = el("p", { class: "unseen", role: "status" })
  const root = el("section", { class: "podium", "aria-label": words.region }, head, body, more, foot, voice)
  const toTitle = () => find(root, ".title")?.focus({ preventScroll: true })
  const clock = makeClock(model)
  const curtain = makeCurtain(words.blanked, toTitle)
  const fit = makeFit(root, body, more)
  const notes = makeNotesWindow()

  // Presses, in their order: none is lost, none overtakes another.
  const outbox = makeOutbox(model, {
    merge: (waiting, wish) => { if (waiting.length < MOST_WAITING) waiting.push(wish) },
    heard: (/** @type {Lecture.Answer} */ message) => {
      if (message.file) download(message.file, message.text ?? "", message.mime ?? "application/toml")
      if (message.results) { results = message.results; draw() }
      if (message.notes !== undefined) notes.show(message.notes)
    },
  })
  /** @type {(act: string, value?: unknown) => void} */
  const send = (act, value = null) => outbox.say({ do: act, value })

  // What a press or a key does. The dark screen is lifted first, a long text is read on first.
  /** @type {(act: string, value?: unknown) => void} */
  const press = (act, value = null) => {
    if (curtain.drawn) { curtain.lift(); return }
    if (joining) { joining = false; draw(); if (["next", "back", "class", "join-close"].includes(act)) return }
    if (results && ["next", "back", "results-close", "join-close"].includes(act)) { results = null; draw(); return }
    if (act === "blank") { curtain.draw(); voice.textContent = words.blanked; return }
    if (act === "hands") { toHands(); return }
    if (act === "join") { joining = true; draw(); return }
    if (act === "next" && fit.readOn()) return
    if (act === "notes") notes.open()
    if (act === "right") putRight()
    send(act, value)
  }
  const hand = { words, send, press, root, leave: leaveButton({ words, send }) }
  const deaf = hearKeys(model, { dark: () => curtain.drawn, joining: () => joining || results !== null, press })

  let wantsHands = false
  const toHands = () => {
    wantsHands = model.page.kind === "cue" && Boolean(model.page.chart)    // the bars stand in its place
    if (wantsHands) send("reveal")
    else find(root, "#hands")?.focus()
  }

  // Put right: what only the browser knows goes back too.
  const putRight = () => {
    joining = false
    document.dispatchEvent(new CustomEvent("pvsim:right"))
    body.scrollTop = 0
    toTitle()
  }

  /** @type {Lecture.Results | null} */
  let results = null        // what came of the questions, while it is looked at
  let joining = false       // the address of the class is shown large
  let shown = "", hadRoom = false

  const layOut = () => {
    const layout = model.page.layout || ""
    if (page_root.dataset.lecture === layout) return
    if (layout) page_root.dataset.lecture = layout
    else delete page_root.dataset.lecture
  }

  /** @param {Lecture.Sheet} page */
  const fill = page => {
    const cue = page.kind === "cue" ? page : null
    Object.assign(root.dataset, {
      kind: page.kind, moment: cue?.moment ?? "", at: String(cue?.at ?? ""), layout: page.layout, mode: cue?.mode ?? "",
    })
    head.replaceChildren(...(cue ? heading(cue, clock.element, hand).filter(one => one !== null) : []))
    for (const one of [root, page_root]) one.toggleAttribute("data-results", results !== null)
    const parts = results ? [resultsSheet(results, hand)] : page.kind === "ready" ? readySheet(page, hand)
      : joining && page.room.code ? [joinSheet(page.room, words)] : cueSheet(page, hand)
    body.replaceChildren(...parts.filter(one => one !== null))
    foot.replaceChildren(...(cue ? footing(cue, hand) : []))
    clock.tick()
    fit.fit()
  }

  const draw = () => {
    const { page } = model
    layOut()
    if (!page.kind) {
      if (curtain.drawn) curtain.lift()
      joining = hadRoom = false
      results = null
      page_root.removeAttribute("data-results")
      shown = ""
      return
    }
    const room = page.kind === "cue" && Boolean(page.room.code)
    if (room && !hadRoom && shown) joining = true
    hadRoom = room
    const key = results ? "results" : page.key
    const turned = shown !== key
    shown = key
    const keys = keysIn(root)
    fill(page)
    if (!turned) keys.giveBack(page)
    else {
      body.scrollTop = 0
      if (!curtain.drawn) toTitle()
    }
    if (wantsHands && !(page.kind === "cue" && page.chart)) { wantsHands = false; find(root, "#hands")?.focus() }
  }

  // This tab alone: what it needs to go on with the lecture after a reload.
  const keep = () => { inTab.set(KEPT, model.kept) }
  const before = inTab.get(KEPT)
  if (before && !model.page.kind) send("resume", before)

  model.on("kept", keep)
  model.on("page", draw)
  model.on("began_s", clock.restart)
  model.on("said", () => { voice.textContent = model.said })
  model.on("remove", () => {
    clock.close()
    fit.close()
    deaf()
    outbox.close()
  })
  draw()
  return root
}

/** A control by a name that it has again after the sheet is drawn anew.
 * @param {HTMLElement} one */
const named = one => {
  if (one.id) return one.id
  const row = one.closest("li")
  return one.dataset.act ? `${one.dataset.act} ${row?.parentNode ? [...row.parentNode.children].indexOf(row) : ""}` : ""
}

/**
 * What has the keys on a sheet that is about to be drawn anew, and what is typed there.
 * @param {HTMLElement} root
 */
function keysIn(root) {
  const active = withKeys(root)
  const held = active instanceof HTMLElement && root.contains(active) ? active : null
  const mark = held ? named(held) : ""
  const typed = held instanceof HTMLInputElement && held.id === "hands" ? held.value : null
  const titled = held?.classList.contains("title") ?? false
  return {
    /** @param {Lecture.Sheet} page */
    giveBack(page) {
      if (!mark && !titled) return
      /** @type {NodeListOf<HTMLButtonElement | HTMLInputElement | HTMLSelectElement>} */
      const fields = root.querySelectorAll("button, input, select")
      const again = [...fields].find(one => named(one) === mark)
      const wrong = page.kind === "cue" && page.hands?.wrong
      if (again && typed !== null && again.id === "hands" && !wrong) again.value = typed
      ;(again ?? find(root, ".title"))?.focus({ preventScroll: true })
    },
  }
}
