// The lecture: one moment at a time, in type for the last row. Python says what stands there
// (lecture_page.py); this draws it, fits it to the screen and hears the keys.

import { numberChart, choiceBars, legend, table } from "./chart.js"
import { el, find, icon, svg, withKeys } from "../shared/elements.js"
import { makeOutbox } from "../shared/outbox.js"

const KEPT = "pvsim.lecture"
const FITS = [1, 0.93, 0.86, 0.79, 0.72, 0.66]      // sizes that are tried before the text scrolls
const SMALLEST = { ask: 0.66, look: 0.72 }      // a question has to be seen whole; what explains is read on
const MOST_WAITING = 12
const SIGN = "M10 2.500 18.500 17.500h-17zM10 8v4.500M10 14.800v.4"
const LOCK = "M5 9V6.500a5 5 0 0 1 10 0V9M3.500 9h13v8.500h-13z"

export function render({ model }) {
  const words = model.words
  const page_root = document.documentElement
  const head = el("header", { class: "head" })
  const body = el("div", { class: "body" })
  const more = el("p", { class: "more", hidden: true }, words.more)
  const foot = el("footer", { class: "foot" })
  const voice = el("p", { class: "unseen", role: "status" })
  const root = el("section", { class: "podium", "aria-label": words.region }, head, body, more, foot, voice)

  // Presses, in their order: none is lost, none overtakes another.
  const outbox = makeOutbox(model, {
    merge: (waiting, wish) => { if (waiting.length < MOST_WAITING) waiting.push(wish) },
    heard: message => {
      if (message.file) download(message)
      if (message.notes !== undefined) show_notes(message.notes)
    },
  })
  const send = (act, value = null) => outbox.say({ do: act, value })

  const download = ({ file, text }) => {
    const link = el("a", { download: file, href: URL.createObjectURL(new Blob([text], { type: "application/toml" })) })
    link.click()
    setTimeout(() => URL.revokeObjectURL(link.href), 1000)
  }

  // The notes window opens with the press, before the answer: browsers allow it then alone.
  let notes = null
  const ask_notes = () => {
    notes = window.open("", "pvsim-notes", "popup,width=720,height=760")
    send("notes")
  }
  const show_notes = path => {
    if (!notes) return
    if (path) notes.location = new URL(path, location.href).href
    else notes.close()
    notes = null
  }

  /** @type {(label: string, act: string, more?: { value?: any, style?: string, [attribute: string]: any }) => HTMLElement} */
  const button = (label, act, { value = null, style = "button--edge", ...props } = {}) =>
    el("button", { class: `button ${style}`, type: "button", "data-act": act, onclick: () => press(act, value), ...props }, label)

  // What a press or a key does. The dark screen is lifted first, a long text is read on first.
  const press = (act, value = null) => {
    if (blank) { lift(); return }
    if (joining) { joining = false; draw(); if (["next", "back", "class", "join-close"].includes(act)) return }
    if (act === "blank") { darken(); return }
    if (act === "hands") { to_hands(); return }
    if (act === "notes") { ask_notes(); return }
    if (act === "join") { joining = true; draw(); return }
    if (act === "next" && read_on()) return
    if (act === "right") put_right()
    send(act, value)
  }

  let wants_hands = false
  const to_hands = () => {
    wants_hands = Boolean(model.page.chart)    // the bars stand in its place
    if (wants_hands) send("reveal")
    else find(root, "#hands")?.focus()
  }

  // Put right: what only the browser knows goes back too.
  const put_right = () => {
    joining = false
    document.dispatchEvent(new CustomEvent("pvsim:right"))
    body.scrollTop = 0
    find(root, ".title")?.focus({ preventScroll: true })
  }

  let blank = null
  const darken = () => {
    blank = el("button", { class: "blank", type: "button", "aria-label": words.blanked, onclick: () => lift() })
    document.body.append(blank)
    blank.focus()
    voice.textContent = words.blanked
  }
  const lift = () => {
    blank?.remove()
    blank = null
    find(root, ".title")?.focus({ preventScroll: true })
  }

  const rest = () => body.scrollHeight - body.clientHeight - body.scrollTop
  const read_on = () => {
    if (rest() < 12) return false
    body.scrollBy({ top: body.clientHeight * 0.8, behavior: matchMedia("(prefers-reduced-motion: reduce)").matches ? "auto" : "smooth" })
    return true
  }
  const tell_more = () => {
    more.hidden = rest() < 12
    if (body.scrollHeight > body.clientHeight + 1) body.tabIndex = 0    // what scrolls can be reached by keys
    else body.removeAttribute("tabindex")
  }
  body.addEventListener("scroll", tell_more, { passive: true })

  // Keys. Those of a pointing stick (PgUp, PgDn) are the lecture's wherever the focus is; arrows and
  // Space belong to what has the focus, if it uses them; letters can be switched off.
  const LETTERS = { r: "right", b: "blank", ".": "blank", v: "reveal", a: "again", o: "class", h: "hands", n: "notes" }
  const held = () => model.page.kind === "cue"
  const modal = event => event.composedPath().some(node => node instanceof HTMLDialogElement)
  const typing = at => at instanceof HTMLElement && (at.isContentEditable || /^(TEXTAREA|SELECT)$/.test(at.tagName)
    || (at instanceof HTMLInputElement && !/^(checkbox|button|submit|file)$/.test(at.type)))
  const take = (event, act) => { event.preventDefault(); event.stopPropagation(); if (!event.repeat) press(act) }
  const early = event => {
    if (!held() || modal(event) || event.ctrlKey || event.metaKey || event.altKey) return
    if (event.key === "PageDown") take(event, "next")
    else if (event.key === "PageUp") take(event, "back")
    else if (blank && (event.key in { Escape: 1, " ": 1, Enter: 1, ArrowRight: 1, ArrowLeft: 1 } || event.key.toLowerCase() in LETTERS)) take(event, "blank")
  }
  const late = event => {
    if (!held() || modal(event) || event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey) return
    const at = event.composedPath()[0]
    if (typing(at)) return
    if (event.key === "ArrowRight") take(event, "next")
    else if (event.key === "ArrowLeft") take(event, "back")
    else if (event.key === " " && !(at instanceof Element && at.closest("button, a, input, summary, [role=button], [role=radio]"))) take(event, "next")
    else if (event.key === "Escape" && joining) take(event, "join-close")
    else if (model.letters && event.key.toLowerCase() in LETTERS) {
      const act = LETTERS[event.key.toLowerCase()]
      const known = act === "blank" || act === "right" || (model.page.buttons || []).some(one => one.act === act && one.able)
      if (known) take(event, act)
    }
  }
  document.addEventListener("keydown", early, true)
  document.addEventListener("keydown", late)

  // The clock

  let made = performance.now()
  const stamp = seconds => {
    const whole = Math.max(0, Math.round(seconds))
    return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`
  }
  const elapsed = () => model.began_s + (model.page.mode === "replay" ? 0 : (performance.now() - made) / 1000)
  const tick = () => {
    const clock = find(head, ".clock")
    const { page } = model
    if (!clock || page.kind !== "cue") return
    const now = elapsed()
    clock.querySelector(".clock__now").textContent = words.of.replace("{now}", stamp(now)).replace("{planned}", String(Math.round(page.planned_s / 60)))
    const late = now - page.due_s, soon = page.from_s - now
    const said = late > 30 ? words.behind.replace("{time}", stamp(late)) : soon > 30 ? words.ahead.replace("{time}", stamp(soon)) : words.on_time
    clock.querySelector(".clock__plan").textContent = said
    clock.dataset.state = late > 30 ? "late" : "well"
  }
  const timer = setInterval(tick, 1000)

  // Sheets

  let joining = false       // the address of the class is shown large
  const kbd = mark => el("kbd", {}, mark)
  const html = (name, text) => text ? el("div", { class: `prose ${name}`, html: text }) : null

  const ready = page => [
    el("p", { class: "caps" }, words.region),
    el("h3", { class: "title", tabindex: "-1" }, page.title),
    el("p", { class: "minutes" }, page.minutes),
    el("div", { class: "starts" },
      button(words.begin, "begin", { value: "live", style: "button--main big" }),
      button(words.rehearse, "begin", { value: "rehearsal", style: "button--edge big", title: words.rehearse_note }),
      page.played ? button(words.play_again, "begin", { value: "replay", style: "button--edge big" }) : null),
    el("div", { class: "two" },
      el("section", {},
        el("h4", { class: "caps" }, words.plan),
        el("ol", { class: "parts" }, ...page.parts.map(part => el("li", {},
          el("strong", {}, part.title), el("span", { class: "quiet" }, ` ${part.minutes}`),
          el("p", { class: "quiet" }, part.steps.join(" · ")))))),
      el("section", {},
        el("h4", { class: "caps" }, words.keys),
        el("dl", { class: "keys" }, ...page.keys_list.flatMap(([marks, meaning]) =>
          [el("dt", {}, ...marks.map(kbd)), el("dd", {}, meaning)])),
        el("label", { class: "tickbox" }, el("input", { type: "checkbox", checked: page.letters, onchange: event => send("letters", event.target.checked) }), words.letters))),
    el("p", { class: "quiet" }, page.phones),
    el("div", { class: "row" }, button(words.save, "save", { style: "link" }), leave()),
  ]

  const leave = () => {
    let sure = model.page.kind === "ready"
    const one = el("button", { class: "link", type: "button", "data-act": "leave", onclick: () => {
      if (sure) { send("leave"); return }
      sure = true
      one.textContent = words.leave_sure
    } }, words.leave)
    one.addEventListener("blur", () => { sure = model.page.kind === "ready"; one.textContent = words.leave })
    return one
  }

  const choices = page => !page.choices?.length ? null : el("ol", { class: `choices ${page.small ? "choices--small" : ""}` },
    ...page.choices.map((one, k) => el("li", { class: `choice-row ${one.right ? "choice-row--right" : ""}` },
      el("span", { class: "letter" }, one.letter),
      el("div", { class: "choice-text" },
        el("span", { html: one.html }),
        one.right ? el("strong", { class: "right-mark" }, ` ✓ ${words.right}`) : null,
        page.chart?.kind === "choice" ? choiceBars(page.chart, k) : null),
      page.hands?.kind === "choice" && !page.chart ? stepper(page.hands, k, one.letter) : null)))

  const stepper = (hands, k, letter) => el("span", { class: "stepper" },
    el("button", { type: "button", class: "step-button", "data-act": "fewer", "aria-label": words.fewer.replace("{letter}", letter), onclick: () => send("count", { choice: k, by: -1 }) }, "−"),
    el("output", { class: "step-count", "aria-label": words.count.replace("{letter}", letter) }, String(hands.counts[k])),
    el("button", { type: "button", class: "step-button", "data-act": "another", "aria-label": words.another.replace("{letter}", letter), onclick: () => send("count", { choice: k, by: 1 }) }, "+"))

  const hands = page => {
    const one = page.hands
    if (!one) return null
    const input = el("input", {
      class: "input", type: "text", id: "hands", autocomplete: "off", spellcheck: "false", value: one.text,
      "aria-invalid": one.wrong ? "true" : null, "aria-describedby": "hands-hint",
      onkeydown: event => {
        if (event.key !== "Enter" && event.key !== "Escape") return
        event.preventDefault()
        event.stopPropagation()
        if (event.key === "Enter") send("hands", input.value)
        find(root, ".title")?.focus({ preventScroll: true })
      },
    })
    return el("div", { class: "hands" },
      el("label", { for: "hands" }, one.kind === "choice" ? words.hands : words.numbers), input,
      one.unit ? el("span", { class: "quiet" }, one.unit) : null,
      el("span", { class: one.wrong ? "wrong" : "quiet", id: "hands-hint", role: one.wrong ? "alert" : null }, one.wrong || one.hint))
  }

  const square = (room, label) => {
    const pad = 3, side = room.dots + 2 * pad
    return svg("svg", { class: "square", viewBox: `${-pad} ${-pad} ${side} ${side}`, role: "img", "aria-label": label, "shape-rendering": "crispEdges" },
      svg("rect", { x: -pad, y: -pad, width: side, height: side, fill: "#fff" }), svg("path", { d: room.path, fill: "#000" }))
  }

  const room = page => {
    const one = page.room
    if (!one?.code || page.moment !== "ask" || joining) return null
    const aside = Boolean(page.chart)     // the bars need the height; a press still shows the address large
    return el("button", { class: `room ${aside ? "room--aside" : ""}`, type: "button", "data-act": "join", onclick: () => press("join") },
      aside ? null : square(one, words.join),
      el("span", { class: "room__text" }, el("span", { class: "room__address" }, one.address), el("strong", { class: "room__code" }, one.code)),
      el("span", { class: "room__count" }, one.count))
  }

  const join = page => el("div", { class: "join" },
    square(page.room, words.join),
    el("div", { class: "join__text" },
      el("h3", { class: "title", tabindex: "-1" }, words.join),
      el("p", { class: "join__address" }, page.room.address),
      el("p", { class: "join__code" }, page.room.code),
      page.room.far ? el("p", { class: "wrong" }, page.room.far) : null,
      ...page.room.seen.map(text => el("p", { class: "wrong", "data-testid": "crowd" }, text))))

  const chart = page => !page.chart ? null : el("figure", { class: `answers ${page.small ? "answers--small" : ""}` },
    page.mode === "rehearsal" ? el("p", { class: "invented" }, words.invented) : null,
    page.chart.kind === "number" ? numberChart(page.chart) : null,
    legend(page.chart), table(page.chart, words.answers_table))

  const question = page => [
    page.chart ? null : html("lead", page.lead),     // bars take the room of what the class has read already
    html("question", page.html), choices(page), chart(page),
    page.chart ? null : el("div", { class: "hands-row" }, hands(page), page.counted ? el("p", { class: "counted" }, page.counted) : null),
    room(page),
    page.lock && !page.chart ? el("p", { class: "lock" }, icon(LOCK), page.lock) : null,
  ]

  const moments = {
    opening: page => [el("p", { class: "question" }, page.question), html("", page.html)],
    ask: question,
    act: page => [
      ...page.cautions.map(text => el("p", { class: "caution" }, icon(SIGN), el("span", {}, el("b", {}, `${words.caution}. `), text))),
      html("question", page.html),
      el("p", { class: `status status--${page.done ? "done" : page.locked ? "locked" : "open"}` }, page.locked ? icon(LOCK) : null, page.status),
      page.may_do ? el("p", {}, button(words.do, "do")) : null,
    ],
    look: page => [
      html("question", page.html), choices(page),
      page.answer ? el("p", { class: "answer" }, page.answer) : null, html("feedback", page.feedback),
    ],
    explain: page => [
      page.foreseen ? el("p", { class: "foreseen" }, page.foreseen) : null,
      page.chart ? el("div", { class: "held" }, choices(page), chart(page)) : null,
      page.idea ? el("div", { class: "idea" },
        el("p", {}, el("span", { class: "caps" }, words.idea), " ", page.idea_of ? el("span", { class: "letter letter--inline" }, page.idea_of) : null, el("q", {}, page.idea)),
        html("", page.idea_html)) : null,
      html("", page.html),
    ],
    closing: page => [
      html("", page.html),
      page.list.length ? el("section", { class: "limits" }, el("h4", { class: "caps" }, page.list_title), el("ul", {}, ...page.list.map(one => el("li", {}, one)))) : null,
      el("div", { class: "row" }, button(words.save, "save", { style: "link" })),
    ],
  }

  const cue = page => joining && page.room?.code ? [join(page)] : [
    el("p", { class: "moment" }, page.label, page.number ? el("span", { class: "quiet" }, ` · ${page.number}`) : null,
      page.away ? el("span", { class: "away" }, ` · ${page.away}`) : null),
    el("h3", { class: "title", tabindex: "-1" }, page.step_title || page.lesson),
    page.hint ? el("p", { class: "hint", role: "alert" }, page.hint) : null,
    ...moments[page.moment](page).filter(Boolean),
  ]

  const heading = page => page.kind !== "cue" ? [] : [
    page.layout === "text" ? el("span", { class: "head__lesson" }, page.step_title ? page.lesson : words.region) : null,
    page.mode === "rehearsal" ? el("strong", { class: "badge" }, words.rehearsal) : null,
    page.mode === "replay" ? el("strong", { class: "badge" }, `${words.replay}: ${page.entry}`) : null,
    el("span", { class: "clock" }, el("span", { class: "clock__now" }), " · ", el("span", { class: "clock__plan" })),
    jump(page), leave(),
  ]

  const jump = page => {
    const select = el("select", { class: "jump", id: "cues", "aria-label": words.cues, onchange: () => send("go", Number(select.value)) },
      ...page.names.map((name, k) => el("option", { value: k, selected: k === page.at }, `${k + 1} / ${page.cues} · ${name}`)))
    // The list is wider than the line: closed it shows where one is and no more, and nothing of it is cut.
    return el("span", { class: "jump-box" }, el("span", { "aria-hidden": "true" }, `${page.at + 1} / ${page.cues}`), select)
  }

  const keys = page => page.kind !== "cue" ? [] : page.buttons.map(one =>
    el("button", {
      class: `key ${one.act === "next" ? "key--next" : ""}`, type: "button", "data-act": one.act, title: one.title,
      "aria-disabled": one.able ? null : "true", "aria-pressed": one.pressed === null ? null : String(one.pressed),
      onclick: () => { if (one.able) press(one.act) },
    }, ...one.keys.slice(0, 1).map(kbd), el("span", {}, one.label)))

  const fit = () => {
    for (const size of FITS) {
      if (size < (SMALLEST[root.dataset.moment] ?? 0.86)) break
      root.style.setProperty("--fit", String(size))
      if (body.scrollHeight <= body.clientHeight + 1) break
    }
    if (body.scrollHeight > body.clientHeight + 1) body.tabIndex = 0    // arrow keys scroll what is longer
    else body.removeAttribute("tabindex")
    tell_more()
  }

  // A control by a name that it has again after the sheet is drawn anew.
  const named = one => {
    const row = one.closest("li")
    return one.id || (one.dataset.act ? `${one.dataset.act} ${row ? [...row.parentNode.children].indexOf(row) : ""}` : "")
  }

  let shown = "", had_room = false
  const draw = () => {
    const { page } = model
    const layout = page.layout || ""
    if (page_root.dataset.lecture !== layout) {
      if (layout) page_root.dataset.lecture = layout
      else delete page_root.dataset.lecture
    }
    if (!page.kind) {
      lift_all()
      shown = ""
      return
    }
    const opened = Boolean(page.room?.code) && !had_room
    had_room = Boolean(page.room?.code)
    if (opened && shown) joining = true
    const turned = shown !== page.key
    const active = withKeys(root)
    const mark = active && root.contains(active) ? named(active) : ""
    const typed = active instanceof HTMLInputElement && active.id === "hands" ? active.value : null
    shown = page.key
    root.dataset.kind = page.kind
    root.dataset.moment = page.moment || ""
    root.dataset.at = page.at ?? ""
    root.dataset.layout = layout
    root.dataset.mode = page.mode || ""
    head.replaceChildren(...heading(page).filter(Boolean))
    body.replaceChildren(...(page.kind === "ready" ? ready(page) : cue(page)).filter(Boolean))
    foot.replaceChildren(...keys(page))
    tick()
    fit()
    if (turned) {
      body.scrollTop = 0
      if (!blank) find(root, ".title")?.focus({ preventScroll: true })
    } else if (active && (mark || active.classList.contains("title"))) {
      /** @type {NodeListOf<HTMLButtonElement | HTMLInputElement | HTMLSelectElement>} */
      const fields = root.querySelectorAll("button, input, select")
      const again = [...fields].find(one => named(one) === mark)
      if (again && typed !== null && again.id === "hands" && !model.page.hands?.wrong) again.value = typed
      if (again) again.focus({ preventScroll: true })
      else find(root, ".title")?.focus({ preventScroll: true })
    }
    focus_hands()
  }
  const focus_hands = () => {
    if (wants_hands && !model.page.chart) { wants_hands = false; find(root, "#hands")?.focus() }
  }
  const lift_all = () => { if (blank) lift(); joining = had_room = false }

  // This tab alone: what it needs to go on with the lecture after a reload.
  const keep = () => {
    try { if (model.kept) sessionStorage.setItem(KEPT, model.kept); else sessionStorage.removeItem(KEPT) } catch { /* no room */ }
  }
  let early_kept = ""
  try { early_kept = sessionStorage.getItem(KEPT) || "" } catch { /* not allowed here */ }
  if (early_kept && !model.page.kind) send("resume", early_kept)

  const sizes = new ResizeObserver(() => fit())
  sizes.observe(root)
  model.on("kept", keep)
  model.on("page", draw)
  model.on("began_s", () => { made = performance.now(); tick() })
  model.on("said", () => { voice.textContent = model.said })
  model.on("remove", () => {
    clearInterval(timer)
    sizes.disconnect()
    document.removeEventListener("keydown", early, true)
    document.removeEventListener("keydown", late)
    outbox.close()
  })
  draw()
  return root
}
