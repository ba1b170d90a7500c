// @ts-check
// The lesson region: contents, glossary, opening, step, closing, closing test. Python says what stands there
// (lesson/page.py, lesson/contents.py, lesson/closing_page.py); this draws it and keeps what is being typed.

import { download } from "../shared/download.js"
import { el, find, withKeys } from "../shared/elements.js"
import { makeOutbox } from "../shared/outbox.js"
import { makeAsides } from "./asides.js"
import { contentsPage } from "./contents.js"
import { glossaryPage } from "./glossary.js"
import { closingMakingPage, closingPage, closingTestPage, footing, openingPage, stepPage } from "./pages.js"
import { goOn, goToTop, holdKeys, holdPlace } from "./place.js"
import { makeRedraw } from "./redraw.js"
import { makeShelf, recallFirst } from "./shelf.js"
import { makeTerms } from "./terms.js"
import { troubleList } from "./trouble.js"

const WIDE = "(min-width: 1100px)" // there the text scrolls by itself
const IN_ITS_LANGUAGE = ".title, .step, .question, .prose, .option, .list ul"

/** @param {{ model: Lesson.Model, el: HTMLElement }} component */
export function render({ model, el: host }) {
  const words = model.words
  const root = el("div", { class: "sheet" })
  const body = el("div", { class: "body" })
  const foot = el("nav", { class: "foot", "aria-label": words.steps })
  const voice = el("p", { class: "unseen", role: "status" })
  const outbox = makeOutbox(model, {
    merge: recallFirst,
    heard: message => {
      if (message.unread) { shelf.setAside(); draw() }
      if (message.file && message.base64) download(message.file, Uint8Array.from(atob(message.base64), letter => letter.charCodeAt(0)), message.mime ?? "")
      if (message.answered !== undefined) shelf.answered()
    },
  })
  const shelf = makeShelf(model, outbox)
  root.append(body, shelf.trouble, foot, voice)
  host.append(root)
  const terms = makeTerms({ model, body, root })
  const asides = makeAsides(body)
  const redraw = makeRedraw()

  let asked = ""    // the learner's own press, until it has led somewhere
  let key = ""      // of the page that is drawn
  /** @type {(act: string, value?: unknown) => void} */
  const send = (act, value = null) => { asked = act; outbox.say({ do: act, value }) }
  /** @type {Lesson.Sheet} */
  const sheet = {
    words, send, keep: redraw.keep, kept: shelf, refused: new Map(),
    forget: () => { shelf.forget(); send("forget"); draw() },
  }

  /** @param {Lesson.Page} page */
  const partsOf = page => {
    switch (page.kind) {
      case "contents": return contentsPage(page, sheet)
      case "glossary": return glossaryPage(page, sheet)
      case "opening": return openingPage(page, sheet)
      case "step": return stepPage(page, sheet)
      case "closing-making": return closingMakingPage(page, sheet)
      case "closing-test": return closingTestPage(page, sheet)
      default: return closingPage(page, sheet)
    }
  }

  /** @param {Lesson.Page} page */
  const fill = page => {
    const trouble = page.trouble?.length ? redraw.keep("trouble", page.trouble, files => troubleList(words.mend, files)) : null
    const parts = partsOf(page)
    body.replaceChildren(...(page.live ? [trouble, ...parts] : [...parts, trouble])    // to whoever writes it; learners find it at the end
      .filter(one => one !== null))
    foot.replaceChildren(...("dots" in page ? footing(page, sheet) : []))
    foot.hidden = !("dots" in page)
    const language = "language" in page ? page.language : ""
    if (language) body.querySelectorAll(IN_ITS_LANGUAGE).forEach(one => one.setAttribute("lang", language))
    asides(`${page.key} ${"track" in page ? page.track : ""}`)
    terms.drawn()
    root.dataset.kind = page.kind
    const named = page.kind === "step" ? `${page.step_title} – ${page.title}` : "dots" in page ? page.title : ""
    document.dispatchEvent(new CustomEvent("pvsim:titled", { detail: named }))
  }

  const draw = () => {
    const { page } = model
    if (!page.kind) return
    const turned = key !== "" && key !== page.key
    const stay = turned || asked ? () => {} : holdPlace(body)
    const keys = holdKeys(body, host)
    const waited = root.dataset.kind === "closing-making" && body.contains(withKeys(host))
    if (key !== page.key) redraw.forget()
    key = page.key
    fill(page)
    const phase = page.kind === "step" ? page.phase : ""
    const moved = !turned && root.dataset.phase && root.dataset.phase !== phase
    root.dataset.phase = phase
    if (!turned) keys.retype()
    go(turned, waited, keys)
    stay()
    // Done by hand in the drawing: bring the next phase into view.
    if (moved && !asked && matchMedia(WIDE).matches) find(body, ".phase--open")?.scrollIntoView({ block: "nearest" })
  }

  // Where the eye and the keyboard go on: only after the learner's own press.
  /** @type {(turned: boolean, waited: boolean, keys: ReturnType<typeof holdKeys>) => void} */
  const go = (turned, waited, keys) => {
    if (turned) {
      if (asked || waited) goToTop(root, body)
      asked = ""
      return
    }
    keys.refocus()
    if (asked && goOn(body, asked, keys.typing)) asked = ""
  }

  const openTest = () => send("closing_opening")
  document.addEventListener("pvsim:closing", openTest)

  model.on("page", draw)
  model.on("said", () => { voice.textContent = model.said })
  model.on("remove", () => {
    outbox.close()
    document.removeEventListener("pvsim:closing", openTest)
    terms.remove()
    shelf.close()
  })
  draw()
}
