// Five levels at once: a table whose bars show what is left of each level's power.

import { lastWord, makeOutbox } from "../shared/outbox.js"

export function render({ model }) {
  const outbox = makeOutbox(model, { merge: lastWord })
  const words = model.words
  const make = (tag, attributes = {}, ...children) => {
    const node = document.createElement(tag)
    for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value)
    node.append(...children)
    return node
  }
  const line = make("span", { class: "line" })
  const fold = make("summary", {}, make("span", { class: "title" }, words.title), line)
  const measures = make("div", { class: "measures", role: "radiogroup", "aria-label": words.measure })
  const table = make("table")
  const details = make("details", {}, fold, measures, table)
  const root = make("div", { class: "five" }, details)
  const fold_right = () => { details.open = model.opened || innerHeight >= 900 }
  fold_right()
  document.addEventListener("pvsim:right", fold_right)
  model.on("remove", () => {
    document.removeEventListener("pvsim:right", fold_right)
    outbox.close()
  })
  fold.addEventListener("click", () => outbox.say({ do: "opened", value: !details.open }))    // before it turns

  const radios = words.measures.map(({ key, label, title }) => {
    const button = make("button", { type: "button", role: "radio", title }, label)
    button.addEventListener("click", () => outbox.say({ do: "measure", value: key }))
    measures.append(button)
    return [key, button]
  })
  measures.addEventListener("keydown", (event) => {
    const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key]
    if (!step) return
    event.preventDefault()
    const all = [...measures.children]
    const next = all[(all.indexOf(measures.getRootNode().activeElement) + step + all.length) % all.length]
    next.focus()
    next.click()
  })

  // Rows are built once and filled again, so that focus stays where it is.
  const head = make("tr", {}, ...words.columns.map((name) => make("th", { scope: "col" }, name)))
  const body = make("tbody")
  table.append(make("caption", { class: "unseen" }, words.caption), make("thead", {}, head), body)
  const rows = []
  const row = () => {
    const button = make("button", { type: "button", title: words.show })
    button.addEventListener("click", () => outbox.say({ do: "level", value: button.dataset.level }))
    const was = make("i", { class: "was" }), lost = make("i", { class: "lost" }), is = make("i", { class: "is" })
    const zero = make("i", { class: "zero" }), beyond = make("i", { class: "beyond" })
    const track = make("div", { class: "track", "aria-hidden": "true" }, was, lost, is, zero, beyond)
    const cells = [0, 1, 2, 3].map(() => make("td"))
    const tr = make("tr", {}, make("th", { scope: "row" }, button), make("td", { class: "bar" }, track), ...cells)
    body.append(tr)
    return { tr, button, was, lost, is, zero, beyond, cells }
  }
  const span = (node, a, b) => {
    node.style.left = `${Math.min(a, b)}%`
    node.style.width = `${Math.abs(b - a)}%`
  }

  const show = () => {
    const shown = model.shown
    while (rows.length < shown.rows.length) rows.push(row())
    for (const [key, button] of radios) {
      button.setAttribute("aria-checked", String(key === shown.measure))
      button.tabIndex = key === shown.measure ? 0 : -1
    }
    shown.rows.forEach((one, k) => {
      const { tr, button, was, lost, is, zero, beyond, cells } = rows[k]
      button.textContent = one.label
      button.dataset.level = one.level
      button.setAttribute("aria-current", String(one.level === shown.level))
      tr.title = one.place
      span(was, shown.zero, one.was)
      span(is, shown.zero, one.end)
      span(lost, Math.max(shown.zero, Math.min(one.end, one.was)), Math.max(shown.zero, one.was))
      is.classList.toggle("eats", one.end < shown.zero)
      lost.hidden = one.end >= one.was || one.was <= shown.zero
      zero.style.left = `${shown.zero}%`
      beyond.hidden = !one.beyond
      beyond.textContent = one.beyond < 0 ? "◂" : "▸"
      beyond.style.left = one.beyond < 0 ? "0" : "auto"
      beyond.style.right = one.beyond > 0 ? "0" : "auto"
      const texts = [one.before, one.now, one.change, one.percent]
      cells.forEach((cell, n) => { cell.textContent = texts[n] })
      for (const cell of cells.slice(2)) cell.className = one.sign < 0 ? "fall" : one.sign > 0 ? "rise" : ""
    })
    table.classList.toggle("single", !shown.compared)
    line.replaceChildren(...(shown.compared && shown.changed
      ? shown.rows.map((one, k, all) => {
        const unit = k < all.length - 1 ? /\s%$/ : ""    // said once, so that all five fit in one line
        const end = (name) => make("span", { class: "end" }, name)    // where there is room
        const [before, after] = [k ? "" : end(`${words.first} `), k < all.length - 1 ? "" : end(` ${words.last}`)]
        return make("span", { class: "step", title: one.place }, before, make("b", {}, one.short.replace(unit, "")), after)
      })
      : []))    // where nothing has changed there is nothing to say
  }
  model.on("shown", show)
  model.on("opened", () => { details.open = model.opened })
  show()
  return root
}
