// @ts-check
// The contents: who is reading, the list of lessons, the way to the glossary, the workbook, lecturers.

import { el } from "../shared/elements.js"
import { lecturers } from "./lecturers.js"
import { workbookPanel } from "./workbook_panel.js"

// Drawn once; what is chosen is set afterwards, so that arrow keys go on from where they are.
/** @type {(tracks: Lesson.Tracks, sheet: Lesson.Sheet) => HTMLElement} */
const trackChoice = ({ title, options }, { send }) => el("fieldset", { class: "tracks" },
  el("legend", { class: "caps" }, title),
  el("div", { class: "tracks__row" }, ...options.map(one => el("label", { class: "track" },
    el("input", { class: "unseen", type: "radio", name: "track", value: one.id, onchange: () => send("track", one.id) }),
    el("span", {}, one.title)))),
  el("p", { class: "quiet small" }))

/** @type {(node: HTMLElement, tracks: Lesson.Tracks) => void} */
const chooseTrack = (node, { options, chosen }) => {
  for (const input of node.querySelectorAll("input")) input.checked = input.value === chosen
  const lead = /** @type {HTMLElement} */ (node.lastElementChild)
  lead.textContent = options.find(one => one.id === chosen)?.lead ?? ""
}

/** @type {(tracks: Lesson.Tracks | null, sheet: Lesson.Sheet) => HTMLElement | null} */
const tracks = (values, sheet) => {
  if (!values) return null
  const node = sheet.keep("tracks", [values.title, values.options], () => {
    const made = trackChoice(values, sheet)
    made.addEventListener("change", event => {
      chooseTrack(made, { ...values, chosen: /** @type {HTMLInputElement} */ (event.target).value })
    })
    return made
  })
  chooseTrack(node, values)
  return node
}

/** @type {(one: Lesson.Entry, sheet: Lesson.Sheet) => HTMLElement} */
const lessonEntry = (one, { send }) => {
  /** @param {(Node | null)[]} more */
  const text = (...more) => [
    el("span", { class: "entry__number", "aria-hidden": "true" }, one.number || "·"),
    el("span", { class: "entry__text" }, ...more),
  ]
  if (!one.slug) {
    return el("div", { class: "entry entry--later" }, ...text(
      el("span", { class: "entry__title" }, one.title), el("span", { class: "entry__meta" }, one.note)))
  }
  return el("button", { class: "entry", type: "button", "data-slug": one.slug, onclick: () => send("open", one.slug) }, ...text(
    el("span", { class: "entry__title", lang: one.language || null }, one.title),
    el("span", { class: "entry__question", lang: one.language || null }, one.question),
    el("span", { class: "entry__meta" }, one.minutes,
      one.untranslated ? el("span", { class: "entry__language" }, one.untranslated) : null,
      one.state?.text ? el("span", { class: `state state--${one.state.name}` }, one.state.text) : null)))
}

/** @type {(count: string, sheet: Lesson.Sheet) => HTMLElement} */
const glossaryLink = (count, { words, send }) => el("section", { class: "to-glossary" },
  el("button", { class: "entry", type: "button", "data-act": "glossary", onclick: () => send("glossary") },
    el("span", { class: "entry__number", "aria-hidden": "true" }, "…"),
    el("span", { class: "entry__text" }, el("span", { class: "entry__title" }, words.glossary), el("span", { class: "entry__question" }, count))))

/** @type {(text: string, sheet: Lesson.Sheet) => HTMLElement} */
const searchLink = (text, { words, send }) => el("section", { class: "to-glossary" },
  el("button", { class: "entry", type: "button", "data-act": "search", onclick: () => send("search") },
    el("span", { class: "entry__number", "aria-hidden": "true" }, "?"),
    el("span", { class: "entry__text" }, el("span", { class: "entry__title" }, words.search), el("span", { class: "entry__question" }, text))))

/** @type {(one: { text: string, state: { name: string, text: string } }, sheet: Lesson.Sheet) => HTMLElement} */
const closingLink = ({ text, state }, { words, send }) => el("section", { class: "to-glossary" },
  el("button", { class: "entry", type: "button", "data-act": "closing", onclick: () => send("closing") },
    el("span", { class: "entry__number", "aria-hidden": "true" }, "*"),
    el("span", { class: "entry__text" }, el("span", { class: "entry__title" }, words.closing), el("span", { class: "entry__question" }, text),
      state.text ? el("span", { class: "entry__meta" }, el("span", { class: `state state--${state.name}` }, state.text)) : null)))

/**
 * @param {Lesson.Contents} page
 * @param {Lesson.Sheet} sheet
 */
export const contentsPage = (page, sheet) => {
  const { words, send, keep, kept } = sheet
  return [
    keep("head", [page.title, page.lead], () => el("header", { class: "head" },
      el("h3", { class: "title", tabindex: "-1" }, page.title), el("p", { class: "quiet" }, page.lead))),
    page.go_on ? keep("go_on", page.go_on, one => el("button", {
      class: "go-on", type: "button", "data-act": "go_on", onclick: () => send("go_on"),
    }, el("span", { class: "caps" }, words.go_on), el("strong", {}, one.title), one.step ? el("span", { class: "quiet" }, one.step) : null)) : null,
    tracks(page.tracks, sheet),
    keep("lessons", page.lessons, lessons => el("ol", { class: "contents" },
      ...lessons.map(one => el("li", {}, lessonEntry(one, sheet))))),
    page.closing ? keep("closing", page.closing, one => closingLink(one, sheet)) : null,
    page.search ? keep("search", page.search, text => searchLink(text, sheet)) : null,
    page.glossary ? keep("glossary", page.glossary, count => glossaryLink(count, sheet)) : null,
    keep("workbook", { begun: page.begun, wrong: page.wrong, aside: kept.aside() }, values => workbookPanel(values, sheet)),
    keep("lecture", page.lecture, one => lecturers(one, sheet)),
    keep("licence", words.licence, text => el("p", { class: "licence" }, text)),
  ]
}
