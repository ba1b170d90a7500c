// The lesson region: contents, opening, step, closing. Python says what stands there (lesson_page.py);
// this draws it and keeps what is being typed.

import { el, find, icon } from "../shared/elements.js"
import { makeOutbox } from "../shared/outbox.js"
import { glossaryLink, glossaryList, lessonEntry, trackChoice, troubleList } from "./contents.js"
import { lecturers } from "./lecturers.js"
import { makeAsides, makeTerms } from "./terms.js"

const LOCK = "M5 9V6.500a5 5 0 0 1 10 0V9M3.500 9h13v8.500h-13z"
const SIGN = "M10 2.500 18.500 17.500h-17zM10 8v4.500M10 14.800v.4"

export function render({ model, el: host }) {
  const words = model.words
  const root = el("div", { class: "sheet" })
  const body = el("div", { class: "body" })
  const foot = el("nav", { class: "foot", "aria-label": words.steps })
  const voice = el("p", { class: "unseen", role: "status" })
  const unkept = el("p", { class: "wrong unkept", role: "status", hidden: true })     // said as long as it holds
  root.append(body, unkept, foot, voice)
  host.append(root)
  const terms = makeTerms({ model, body, root })
  const asides = makeAsides(body)

  let asked = null, key = null
  let drawn = new Map()      // part -> { text, node }: what has not changed stays, with focus and typing

  // One press at a time; a kept workbook takes the place of none, and goes first.
  const outbox = makeOutbox(model, {
    merge: (waiting, wish) => {
      const recall = wish.do === "recall"
      const same = waiting.findIndex(one => (one.do === "recall") === recall)
      if (same >= 0) waiting.splice(same, 1)
      if (recall) waiting.unshift(wish)
      else waiting.push(wish)
    },
    heard: message => {
      if (message.unread) { set_aside(seen); draw() }    // before anything is written over it
      if (message.answered === undefined || !recalling || outbox.holds("recall")) return
      recalling = false
      recalled = true
      if (!remember(look(inTab)) && owed) store(model.workbook)
    },
  })
  const send = (act, value = null) => { asked = act; outbox.say({ do: act, value }) }

  const button = (label, act, value = null, style = "button--edge") =>
    el("button", { class: `button ${style}`, type: "button", "data-act": act, onclick: () => send(act, value) }, label)

  // Only parts whose plain values changed are drawn anew.
  const keep = (name, values, draw) => {
    const text = JSON.stringify(values)
    const old = drawn.get(name)
    if (old && old.text === text) return old.node
    const node = draw(values)
    drawn.set(name, { text, node })
    return node
  }

  // Contents

  const contents = page => [
    keep("head", [page.title, page.lead], () => el("header", { class: "head" },
      el("h3", { class: "title", tabindex: "-1" }, page.title), el("p", { class: "quiet" }, page.lead))),
    page.go_on ? keep("go_on", page.go_on, one => el("button", {
      class: "go-on", type: "button", "data-act": "go_on", onclick: () => send("go_on"),
    }, el("span", { class: "caps" }, words.go_on), el("strong", {}, one.title), one.step ? el("span", { class: "quiet" }, one.step) : null)) : null,
    tracks(page.tracks),
    keep("lessons", page.lessons, lessons => el("ol", { class: "contents" },
      ...lessons.map(one => el("li", {}, lessonEntry(el, send, one))))),
    page.glossary ? keep("glossary", page.glossary, count => glossaryLink(el, send, words.glossary, count)) : null,
    keep("workbook", [page.begun, page.wrong, stored(ASIDE)], values => workbook(...values)),
    keep("lecture", page.lecture, one => lecturers(el, send, words, one)),
    keep("licence", words.licence, text => el("p", { class: "licence" }, text)),
  ]

  // The workbook: all progress, in this browser's own store and in files

  const KEPT = "pvsim.workbook"
  const ASIDE = `${KEPT}.unread`   // what this page could not read: of a later pvsim, perhaps, or damaged
  const inBrowser = () => localStorage, inTab = () => sessionStorage    // asking for them alone may be refused
  const put = (where, text) => { try { if (text) where().setItem(KEPT, text); else where().removeItem(KEPT); return true } catch { return false } }
  const look = (where, name = KEPT) => { try { return where().getItem(name) || "" } catch { return "" } }
  const stored = (name = KEPT) => look(inBrowser, name)
  const store = text => {
    seen = text
    owed = false
    const kept = put(inBrowser, text)
    stuck = kept ? "" : stored()
    const trouble = kept ? "" : put(inTab, text) ? words.unkept_tab : words.unkept
    if (kept) put(inTab, "")
    if (unkept.textContent !== trouble) unkept.textContent = trouble
    unkept.hidden = !trouble
  }
  let stuck = ""             // what this browser has kept and has no room to replace
  let recalling = false      // a kept workbook is on its way
  let recalled = false       // nothing is written over before the page has taken it in
  let seen = ""              // what was sent or stored last
  let owed = false           // something done here is not in the store yet
  const remember = text => {
    if (!text || text === seen || text === stuck || text === model.workbook) return false
    seen = text
    recalling = true
    outbox.say({ do: "recall", value: text })
    return true
  }

  const save = text => {
    const link = el("a", { download: "pvsim-workbook.json", href: URL.createObjectURL(new Blob([text], { type: "application/json" })) })
    link.click()
    setTimeout(() => URL.revokeObjectURL(link.href), 1000)
  }
  const link = (act, label, press) => el("button", { class: "link", type: "button", "data-act": act, onclick: press }, label)

  const workbook = (begun, wrong, aside) => {
    const trouble = el("p", { class: "wrong", role: "alert" }, wrong)
    const file = el("input", { type: "file", accept: ".json,application/json", hidden: true, "data-act": "take" })    // its button speaks for it
    file.addEventListener("change", async () => {
      const chosen = file.files[0]
      file.value = ""
      if (!chosen) return
      if (chosen.size > 1600000) { trouble.textContent = words.too_large; return }
      send("take", await chosen.text())
    })
    let sure = false
    const forget = link("forget", words.forget, () => {
      if (sure) { store(""); set_aside(""); send("forget"); draw(); return }
      sure = true
      forget.textContent = words.forget_sure
    })
    const unsure = () => { if (focused() !== forget) { sure = false; forget.textContent = words.forget } }
    forget.addEventListener("blur", () => setTimeout(unsure))    // one that is drawn again in between keeps the focus
    return el("section", { class: "workbook" },
      el("h4", { class: "caps" }, words.workbook), el("p", { class: "quiet small" }, words.workbook_note),
      el("div", { class: "row" },
        begun ? link("save", words.save, () => save(model.workbook)) : null,
        link("choose", words.take, () => file.click()),
        begun || aside ? forget : null, file),
      aside ? el("p", { class: "small" }, words.aside, " ", link("save-aside", words.save_aside, () => save(aside))) : null,
      trouble)
  }

  const tracks = values => {
    if (!values) return null
    const { chosen, ...rest } = values
    const node = keep("tracks", rest, () => trackChoice(el, send, rest))
    node.choose(chosen)
    return node
  }

  const glossary = page => [
    keep("head", [page.title, page.lead], () => el("header", { class: "head" },
      el("div", { class: "above" },
        el("button", { class: "link", type: "button", "data-act": "contents", onclick: () => send("contents") }, words.contents)),
      el("h3", { class: "title", tabindex: "-1" }, page.title), el("p", { class: "quiet" }, page.lead))),
    keep("terms", page.terms, terms => glossaryList(el, words, terms)),
  ]

  // Opening and closing

  const head = page => keep("head", [page.title, page.count, page.dots], () => el("header", { class: "head" },
    el("div", { class: "above" },
      el("button", { class: "link", type: "button", "data-act": "contents", onclick: () => send("contents") }, words.contents),
      el("span", {}, page.count)),
    el("h3", { class: page.kind === "step" ? "title title--small" : "title", tabindex: "-1" }, page.title),
    el("ol", { class: "dots", "aria-label": words.steps }, ...page.dots.map(dot => el("li", {},
      el("button", {
        class: `dot dot--${dot.state}`, type: "button", title: dot.title, "aria-label": dot.title,
        "aria-current": dot.here ? "step" : null, onclick: () => send("turn", dot.page),
      }, el("span", { class: "dot__mark" }, dot.text)))))))

  const list = (name, title, items) => items.length ? keep(name, items, () => el("section", { class: "list" },
    el("h4", { class: "caps" }, title), el("ul", {}, ...items.map(one => el("li", {}, one))))) : null

  const prose = (name, html) => html ? keep(name, html, () => el("div", { class: "prose", html })) : null

  const opening = page => [
    head(page),
    keep("question", page.question, text => el("p", { class: "question" }, text)),
    keep("minutes", page.minutes, text => el("p", { class: "quiet small" }, text)),
    prose("text", page.html),
    list("objectives", words.objectives, page.objectives),
    keep("hold", page.slug, slug => el("p", { class: "hold" }, el("button", {
      class: "link", type: "button", "data-act": "lecture", onclick: () => send("lecture", { lesson: slug }),
    }, words.lecture_this))),
  ]

  const closing = page => [
    head(page),
    prose("text", page.html),
    keep("results", page.results, results => el("section", { class: "list" },
      el("h4", { class: "caps" }, page.results_title),
      el("ol", { class: "results" }, ...results.map(one => el("li", { class: `result result--${one.mark.name}` },
        el("span", { class: "result__title" }, one.title), el("span", { class: "result__mark" }, one.mark.text)))),
      el("p", { class: "quiet small" }, page.results_note))),
    list("objectives", words.objectives, page.objectives),
    list("limits", words.limits, page.limits),
    list("sources", words.sources, page.sources),
    keep("licence", words.licence, text => el("p", { class: "licence" }, text)),
  ]

  // A step

  let refused = ""    // what was typed last: it stays to be mended when it cannot be read

  const field = (part, label, act) => {
    const question = part.question
    if (question.kind === "choice") {
      const name = `${part.name}-choice`
      return el("fieldset", { class: "choices", "aria-describedby": `${part.name}-question`, "aria-invalid": part.wrong ? "true" : null },
        el("legend", { class: "unseen" }, label),
        ...question.choices.map((html, at) => el("label", { class: "option" },
          el("input", { type: "radio", name, value: String(at), checked: question.chosen === at }),
          el("span", { html }))))
    }
    const id = `${part.name}-number`
    return el("div", { class: "number-field" },
      el("label", { class: "unseen", for: id }, `${words.your_answer}${question.unit ? `, ${question.unit}` : ""}`),
      el("input", {
        id, class: "input", type: "text", autocomplete: "off", spellcheck: "false", size: "8", value: part.wrong ? refused : question.given,
        "aria-invalid": part.wrong ? "true" : null, "aria-describedby": `${part.wrong ? `${id}-wrong ` : ""}${part.name}-question`,
        onkeydown: event => { if (event.key === "Enter") { event.preventDefault(); submit(event.target, part, act) } },
      }),
      question.unit ? el("span", { class: "unit", "aria-hidden": "true" }, question.unit) : null)
  }

  const submit = (from, part, act) => {
    const form = from.closest(".form")
    if (part.question.kind === "choice") {
      const chosen = form.querySelector("input:checked")
      send(act, chosen ? Number(chosen.value) : -1)
    } else {
      refused = form.querySelector("input").value
      send(act, refused)
    }
  }

  const form = (part, label, act) => el("div", { class: "form" },
    field(part, label, act),
    part.wrong ? el("p", { class: "wrong", id: `${part.name}-number-wrong`, role: "alert" }, part.wrong) : null,
    el("button", { class: "button button--main", type: "button", "data-act": act, onclick: event => submit(event.target, part, act) },
      act === "predict" ? words.store : words.answer))

  const given = part => part.question.kind === "choice"
    ? el("p", { class: "given", html: part.question.choices[part.question.chosen] })
    : el("p", { class: "given" }, `${part.question.given} ${part.question.unit}`.trim())

  const idea = text => text ? el("p", { class: "idea" }, el("span", { class: "caps" }, words.idea), el("q", {}, text)) : null

  const verdict = one => el("div", { class: `verdict verdict--${one.right ? "right" : "wrong"}` },
    el("p", { class: "verdict__mark" }, one.mark), idea(one.idea), one.html ? el("div", { class: "prose", html: one.html }) : null)

  const reckoning = one => one ? el("div", { class: `verdict verdict--${one.right ? "right" : "wrong"}` },
    el("p", { class: "verdict__mark" }, one.mark),
    el("dl", { class: "reckoning" },
      el("dt", {}, one.said_label), el("dd", { html: one.said }),
      ...(one.found ? [el("dt", {}, one.found_label), el("dd", { html: one.found })] : [])),
    idea(one.idea), one.html ? el("div", { class: "prose", html: one.html }) : null) : null

  // What the act is done with may be far away on a phone: the panel comes, or the drawing.
  const reach = panel => {
    if (panel) return document.dispatchEvent(new CustomEvent("pvsim:open", { detail: panel }))
    const roof = document.getElementById("roof")
    roof.scrollIntoView({ block: "start" })
    roof.focus({ preventScroll: true })
  }

  const parts = {
    predict: part => [
      el("div", { class: "prose", id: "predict-question", html: part.html }),
      part.state === "open" ? form(part, part.label, "predict") : given(part),
      part.state === "open" ? el("p", { class: "lock" }, icon(LOCK), part.lock) : null,
    ],
    act: part => [
      ...part.cautions.map(text => el("p", { class: "caution" }, icon(SIGN),
        el("span", {}, el("b", {}, `${words.caution}. `), text))),
      el("div", { class: "prose", html: part.html }),
      el("div", { class: "row" },
        el("span", { class: `tick tick--${part.done ? "done" : "open"}` }, part.status),
        part.reason ? el("span", { class: "reason" }, part.reason) : null,
        !part.done && part.control ? el("button", { class: "button button--edge reach", type: "button", "data-act": "reach", onclick: () => reach(part.control.panel) }, part.control.text) : null,
        !part.done ? button(words.do, "do") : null),
    ],
    observe: part => [
      el("div", { class: "prose", id: "observe-question", html: part.html }),
      part.settled && part.verdict && part.verdict.right ? given(part) : null,
      part.settled ? null : form(part, part.label, "observe"),
      part.verdict ? verdict(part.verdict) : null,
      part.shown ? el("div", { class: "verdict verdict--shown" },
        el("p", {}, el("span", { class: "caps" }, part.shown.label), " ", el("strong", { html: part.shown.html })),
        part.shown.where.length ? el("p", { class: "where" }, el("span", { class: "caps" }, part.shown.where_label),
          ...part.shown.where.map(one => el("span", { class: "where__one" }, one))) : null) : null,
      part.may_skip ? el("div", { class: "row" }, button(words.show, "settle")) : null,
    ],
    explain: part => [reckoning(part.prediction), el("div", { class: "prose", html: part.html })],
  }

  const phase = part => keep(`part-${part.name}`, part, () => {
    const title = el("h5", { class: "phase__title", tabindex: "-1", id: `phase-${part.name}` },
      el("span", { class: "phase__number", "aria-hidden": "true" }, String(part.order)), el("span", { class: "caps" }, part.label),
      part.state === "waiting" ? el("span", { class: "phase__hint" }, part.hint) : null)
    return el("section", { class: `phase phase--${part.state}`, "data-phase": part.name, "aria-labelledby": title.id },
      title, part.state === "waiting" ? null : el("div", { class: "phase__body" }, ...parts[part.name](part)))
  })

  const step = page => [
    head(page),
    keep("step", [page.label, page.step_title], () => el("h4", { class: "step", tabindex: "-1" },
      el("span", { class: `caps ${page.transfer ? "caps--transfer" : ""}` }, page.label), page.step_title)),
    prose("lead", page.lead),
    ...page.parts.map(phase),
    page.restart ? keep("restart", true, () => el("p", { class: "restart" },
      el("button", { class: "link", type: "button", "data-act": "restart", onclick: () => send("restart") }, words.restart))) : null,
  ]

  const turn = page => !page.dots ? [] : [keep("turn", [page.key, page.back, page.next, page.next_ready], () => {
    const at = page.dots.findIndex(dot => dot.here)
    const ready = page.kind !== "step" || page.next_ready
    return el("div", { class: "turn" },
      page.back ? el("button", { class: "button button--edge", type: "button", "data-act": "back", onclick: () => send("turn", at - 1) }, `‹ ${page.back}`) : el("span"),
      el("button", { class: `button ${ready ? "button--main" : "button--edge"}`, type: "button", "data-act": "next", onclick: () => send("turn", at + 1) }, `${page.next} ›`))
  })]

  // The bench shows another array than the text speaks of: said where it is seen, and moves no text.
  const away = page => page.away ? [keep("away", page.away, text => el("div", { class: "away" },
    el("p", {}, text), button(words.put_back, "put_back")))] : []

  const trouble = page => (page.trouble || []).length
    ? keep("trouble", page.trouble, files => troubleList(el, words.mend, files)) : null

  const kinds = { contents, glossary, opening, step, closing }

  const focused = () => host.getRootNode().activeElement

  // What is being read stays where it is while something above it is drawn anew.
  const staying = () => {
    const [low, high] = [0, innerHeight]
    const first = [...body.querySelectorAll(".phase__title, .step, .prose > *, li, .form, .row")].find(one => {
      const box = one.getBoundingClientRect()
      return box.height && box.top >= low && box.top < high
    })
    if (!first) return () => {}
    const top = first.getBoundingClientRect().top
    return () => {
      const away = first.isConnected ? first.getBoundingClientRect().top - top : 0
      if (Math.abs(away) < 1) return
      const region = document.getElementById("lesson")
      const scrolls = getComputedStyle(region).overflowY === "visible" ? document.scrollingElement : region
      scrolls.scrollTop += away
    }
  }

  const draw = () => {
    const page = model.page
    if (!kinds[page.kind]) return
    const turned = key !== null && key !== page.key
    const stay = turned || asked ? () => {} : staying()
    if (key !== page.key) drawn = new Map()
    key = page.key
    const held = focused()
    const typed = held && held.classList && held.classList.contains("input") ? { id: held.id, value: held.value } : null
    const parts = [...kinds[page.kind](page), trouble(page)]
    if (page.live) parts.unshift(parts.pop())    // to whoever writes it; learners find it at the end
    body.replaceChildren(...parts.filter(Boolean))
    foot.replaceChildren(...away(page), ...turn(page))
    foot.hidden = !page.dots
    if (page.language) body.querySelectorAll(".title, .step, .question, .prose, .option, .list ul").forEach(one => one.setAttribute("lang", page.language))
    asides(`${page.key} ${page.track || ""}`)
    terms.drawn()
    root.dataset.kind = page.kind
    const named = page.kind === "step" ? `${page.step_title} – ${page.title}` : page.dots ? page.title : ""
    document.dispatchEvent(new CustomEvent("pvsim:titled", { detail: named }))
    const moved = !turned && root.dataset.phase && root.dataset.phase !== page.phase
    root.dataset.phase = page.phase || ""
    if (typed) {
      /** @type {HTMLInputElement | null} */
      const again = body.querySelector(`#${typed.id}`)
      if (again && !turned) { again.value = typed.value; again.focus({ preventScroll: true }) }
    }
    go(turned, held)
    stay()
    // Done by hand in the drawing: bring the next phase into view where the text scrolls by itself.
    if (moved && !asked && matchMedia("(min-width: 1100px)").matches) {
      const open = body.querySelector(".phase--open")
      if (open) open.scrollIntoView({ block: "nearest" })
    }
  }

  // Where the eye and the keyboard go on: only after the learner's own press.
  const go = (turned, held) => {
    if (turned) {
      const first = find(body, ".step") || find(body, ".title")
      if (asked && first) { first.focus({ preventScroll: true }); root.scrollIntoView({ block: "start" }) }
      asked = null
      return
    }
    if (held && held !== host && held.isConnected && body.contains(held)) { held.focus({ preventScroll: true }); }
    if (!asked) return
    const act = asked
    const wrong = body.querySelector("[aria-invalid=true]")
    if (wrong && (act === "predict" || act === "observe")) {
      asked = null
      const target = wrong.matches("input") ? wrong : wrong.querySelector("input")
      if (target) target.focus()
      return
    }
    const open = find(body, ".phase--open .phase__title")
    if (open && ["predict", "do", "observe", "settle", "put_back", "restart"].includes(act)) {
      asked = null
      open.focus({ preventScroll: true })
      open.closest(".phase").scrollIntoView({ block: "nearest", behavior: "auto" })
    }
  }

  const other = event => { if (event.key === KEPT && event.newValue) remember(event.newValue) }    // another tab
  // What another tab wrote is taken in, never written over; and not written back, or two tabs would answer each other for ever.
  let moved = false     // the page's own, since it was drawn: before that it holds nothing that is worth keeping
  const keep_now = () => {
    moved = true
    if (outbox.holds("recall")) return
    owed = true
    if (recalled && !remember(stored())) store(model.workbook)
  }
  const leave = () => { if (moved && recalled && !outbox.holds("recall") && [seen, stuck].includes(stored())) store(model.workbook) }
  const set_aside = text => { try { if (text) localStorage.setItem(ASIDE, text); else localStorage.removeItem(ASIDE) } catch { /* no room */ } }
  if (!remember(stored()) && !remember(look(inTab))) recalled = true
  // A store that answers late, as one shared by several processes may, is asked again.
  const again = [800, 2500].map(wait => setTimeout(() => remember(stored()), wait))
  addEventListener("storage", other)
  addEventListener("pagehide", leave)
  model.on("workbook", keep_now)
  model.on("remove", () => {
    outbox.close()
    terms.remove()
    again.forEach(clearTimeout)
    removeEventListener("storage", other)
    removeEventListener("pagehide", leave)
  })
  model.on("page", draw)
  model.on("said", () => { voice.textContent = model.said })
  draw()
}
