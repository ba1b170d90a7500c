// @ts-check
// A day on the roof: the strip below drawing and curves in which it is set up, looked at and played.

import { download } from "../shared/download.js"
import { el } from "../shared/elements.js"
import { inOrder, lastWord, makeOutbox } from "../shared/outbox.js"
import { hearRadioKeys } from "../shared/radio_keys.js"
import { makeScreen } from "./screen.js"
import { makeSetup } from "./setup.js"

/** @param {{ model: Day.Model }} component */
export function render({ model }) {
  const { words } = model
  const page = document.documentElement
  const outbox = makeOutbox(model, {
    // Of a film the last time asked for is enough; all else counts.
    merge: (waiting, wish) => (wish.do === "moment" ? lastWord : inOrder)(waiting, wish),
    heard: (/** @type {Day.Answer} */ message) => {
      if (message.file) save(message)
    },
  })
  /** @type {(what: string, value?: unknown) => void} */
  const say = (what, value = null) => outbox.say({ do: what, value })

  const setup = makeSetup(words, say)
  const screen = makeScreen(words, say, () => outbox.holds("moment"))
  let tab = "setup", open = false

  const tabs = words.tabs.map(([value, label]) => el("button", {
    type: "button", role: "tab", id: `tab-${value}`, "aria-controls": "day-body", "data-tab": value, onclick: () => choose(value),
  }, label))
  const row = el("div", { class: "choice", role: "tablist", "aria-label": words.tabs_label }, ...tabs)
  hearRadioKeys(row)
  const told = el("p", { class: "told", role: "status" })
  const compute = el("button", { type: "button", class: "button button--main", onclick: () => { choose("day"); say("compute") } })
  const stop = el("button", { type: "button", class: "button button--edge", onclick: () => say("give-up") }, words.give_up)
  const bar = el("progress", { max: 1, value: 0, "aria-label": words.title })
  const shut = el("button", { type: "button", class: "button button--icon shut", "aria-label": words.close, title: words.close, onclick: () => say("close") }, "×")
  const head = el("div", { class: "head" }, el("h3", { class: "title" }, words.title), row, told, ...screen.reading, bar, stop, compute, shut)
  const body = el("div", { class: "body", id: "day-body", role: "tabpanel" }, setup.element, screen.element)
  const strip = el("div", { class: "strip" }, head, body)
  strip.addEventListener("keydown", (event) => {
    if (event.key !== "Escape" || event.defaultPrevented) return
    event.stopPropagation()
    say("close")
  })

  /** @param {string} wanted */
  const choose = (wanted) => {
    tab = wanted
    for (const one of tabs) {
      const holds = one.dataset.tab === tab
      one.setAttribute("aria-selected", String(holds))
      one.tabIndex = holds ? 0 : -1
    }
    body.setAttribute("aria-labelledby", `tab-${tab}`)
    setup.element.hidden = tab !== "setup"
    screen.element.hidden = tab !== "day"
    if (!open || page.dataset.day === tab) return
    page.dataset.day = tab
    // On a phone the roof is to be in sight above the film.
    requestAnimationFrame(() => document.getElementById("day")?.scrollIntoView({ block: tab === "day" ? "end" : "nearest" }))
  }

  const show = () => {
    const { now } = model
    const { stage } = now
    if (now.open !== open) {
      open = now.open
      if (!open) {
        const held = document.activeElement?.closest("#day")
        delete page.dataset.day
        screen.leave()
        if (held) document.getElementById("roof")?.focus({ preventScroll: true })
      } else {
        page.dataset.day = tab
        requestAnimationFrame(() => {
          tabs.find((one) => one.tabIndex === 0)?.focus({ preventScroll: true })
          document.getElementById("day")?.scrollIntoView({ block: "nearest" })
        })
      }
    }
    // Beside the words of a lecture there is room for a day that can be looked at, and for no other.
    page.toggleAttribute("data-day-rests", open && (stage === "stale" || stage === "barred"))
    screen.show(now)
    const running = stage === "computing"
    const text = { none: words.none, computing: words.computing, stale: words.stale, failed: now.told, barred: now.barred, done: now.when }[stage]
    if (told.textContent !== text) told.textContent = text
    told.classList.toggle("warn", stage === "failed" || stage === "stale")
    bar.hidden = stop.hidden = !running
    bar.value = now.share
    compute.hidden = running || stage === "barred" || stage === "done"
    compute.textContent = stage === "none" || stage === "failed" ? words.compute : words.again
  }

  screen.element.addEventListener("read", () => { told.hidden = !screen.reading[0].hidden })

  choose(tab)
  setup.show(model.form)
  screen.lines(model.lines)
  show()
  setup.judge(model.wrong)
  model.on("form", () => setup.show(model.form))
  model.on("wrong", () => setup.judge(model.wrong))
  model.on("lines", () => screen.lines(model.lines))
  model.on("now", show)
  model.on("remove", () => {
    screen.close()
    outbox.close()
    page.removeAttribute("data-day-rests")
    delete page.dataset.day
  })
  return strip
}

/** @param {Day.Answer} message */
const save = ({ file = "", mime = "", text = "", base64 }) =>
  download(file, base64 ? Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0)) : text, mime)
