// The parts of the contents page: who is reading, the list of lessons, the way to the glossary; and the glossary.

// Drawn once; what is chosen is set afterwards, so that arrow keys go on from where they are.
export const trackChoice = (el, send, { title, options }) => {
  const lead = el("p", { class: "quiet small" })
  const choose = id => {
    for (const input of node.querySelectorAll("input")) input.checked = input.value === id
    lead.textContent = options.find(one => one.id === id).lead
  }
  const node = el("fieldset", { class: "tracks" },
    el("legend", { class: "caps" }, title),
    el("div", { class: "tracks__row" }, ...options.map(one => el("label", { class: "track" },
      el("input", { class: "unseen", type: "radio", name: "track", value: one.id, onchange: () => { choose(one.id); send("track", one.id) } }),
      el("span", {}, one.title)))),
    lead)
  node.choose = choose
  return node
}

export const lessonEntry = (el, send, one) => {
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
      one.state.text ? el("span", { class: `state state--${one.state.name}` }, one.state.text) : null)))
}

export const glossaryLink = (el, send, title, count) => el("section", { class: "to-glossary" },
  el("button", { class: "entry", type: "button", "data-act": "glossary", onclick: () => send("glossary") },
    el("span", { class: "entry__number", "aria-hidden": "true" }, "…"),
    el("span", { class: "entry__text" }, el("span", { class: "entry__title" }, title), el("span", { class: "entry__question" }, count))))

export const glossaryList = (el, words, terms) => {
  const list = el("dl", { class: "glossary" })
  const go = id => {
    const entry = list.querySelector(`[data-entry="${CSS.escape(id)}"]`)
    entry.scrollIntoView({ block: "start" })
    entry.querySelector("dt").focus({ preventScroll: true })
  }
  list.append(...terms.map(one => el("div", { class: "glossary__entry", "data-entry": one.id, lang: one.language || null },
    el("dt", { tabindex: "-1", html: one.term }),
    el("dd", {}, el("p", { html: one.meaning }),
      one.see.length ? el("p", { class: "glossary__see small" }, `${words.see} `,
        ...one.see.map(other => el("button", { class: "link", type: "button", onclick: () => go(other.id), html: other.html }))) : null,
      el("p", { class: "quiet small" }, `${words.source}: ${one.source}`)))))
  return list
}

/** Files that are not in order: where, what is wrong, how to mend it. */
export const troubleList = (el, label, files) => el("section", { class: "trouble", "aria-label": label, tabindex: "0" }, ...files.map(one => el("div", {},
  el("p", { class: "trouble__file" }, one.title),
  el("ul", { lang: "en" }, ...one.problems.map(({ where, wrong, expected, mend }) => el("li", {},
    where ? el("span", { class: "trouble__line" }, where) : null,
    el("span", {}, `${wrong}; expected ${expected}.`), el("strong", {}, mend)))),
  one.more ? el("p", { class: "quiet small" }, one.more) : null)))
