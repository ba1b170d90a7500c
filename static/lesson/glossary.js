// @ts-check
// The glossary: every term with its meaning, and the ways from one to another.

import { el, find } from "../shared/elements.js"

/** @type {(terms: Lesson.GlossaryTerm[], words: Lesson.Words) => HTMLElement} */
const glossaryList = (terms, words) => {
  /** @param {string} id */
  const go = id => {
    const entry = find(list, `[data-entry="${CSS.escape(id)}"]`)
    entry?.scrollIntoView({ block: "start" })
    entry?.querySelector("dt")?.focus({ preventScroll: true })
  }
  const list = el("dl", { class: "glossary" })
  list.append(...terms.map(one => el("div", { class: "glossary__entry", "data-entry": one.id, lang: one.language || null },
    el("dt", { tabindex: "-1", html: one.term }),
    el("dd", {}, el("p", { html: one.meaning }),
      one.see.length ? el("p", { class: "glossary__see small" }, `${words.see} `,
        ...one.see.map(other => el("button", { class: "link", type: "button", onclick: () => go(other.id), html: other.html }))) : null,
      el("p", { class: "quiet small" }, `${words.source}: ${one.source}`)))))
  return list
}

/**
 * @param {Lesson.Glossary} page
 * @param {Lesson.Sheet} sheet
 */
export const glossaryPage = (page, { words, send, keep }) => [
  keep("head", [page.title, page.lead], () => el("header", { class: "head" },
    el("div", { class: "above" },
      el("button", { class: "link", type: "button", "data-act": "contents", onclick: () => send("contents") }, words.contents)),
    el("h3", { class: "title", tabindex: "-1" }, page.title), el("p", { class: "quiet" }, page.lead))),
  keep("terms", page.terms, terms => glossaryList(terms, words)),
]
