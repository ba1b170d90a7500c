// The top bar. Drawn once from `layout_of_bar`; afterwards only values change. What a slider says while a
// message is unanswered is merged, and its last value always goes out.

import { lastWord, makeOutbox } from "../shared/outbox.js"

const ICONS = {
  undo: "M7 5 3 9l4 4M3 9h8a5 5 0 0 1 0 10H8",
  redo: "M13 5l4 4-4 4M17 9H9a5 5 0 0 0 0 10h3",
  reset: "M4 4v12M16 5l-8 5 8 5z",
  theme: "M10 3a7 7 0 0 0 0 14zM17 10a7 7 0 1 1-14 0a7 7 0 1 1 14 0",
  large: "M2 16 6.500 5 11 16M3.600 12.500h5.800M13 16l2.500-6.500L18 16M13.800 14h3.400",
  language: "M17 10a7 7 0 1 1-14 0a7 7 0 1 1 14 0M3.300 10h13.400M10 3c-2.300 2-3.300 4.300-3.300 7s1 5 3.300 7c2.300-2 3.300-4.300 3.300-7s-1-5-3.300-7",
  help: "M7.200 7.500a2.900 2.900 0 1 1 4.300 2.600c-1 .6-1.500 1.100-1.500 2.200M10 15.300v.4",
}
const LEAST_SHEET_px = 220    // of a panel on a phone, also where the curves would leave it less
const narrow = matchMedia("(max-width: 699px)")
const SVG = "http://www.w3.org/2000/svg"

const el = (tag, props = {}, ...children) => {
  const node = document.createElement(tag)
  for (const [key, value] of Object.entries(props)) {
    if (value === undefined || value === null || value === false) continue
    if (key.startsWith("on")) node.addEventListener(key.slice(2), value)
    else node.setAttribute(key, value === true ? "" : value)
  }
  node.append(...children)
  return node
}

const written = number => String(number).replace(".", document.documentElement.dataset.decimal || ".")
const number = text => Number(/^\s*[+-]?[\d.]+/.exec(String(text).replace(",", ".").replace("\u2212", "-"))?.[0] ?? NaN)    // perhaps with its unit

const icon = name => {
  const svg = document.createElementNS(SVG, "svg")
  svg.setAttribute("viewBox", "0 0 20 20")
  svg.setAttribute("aria-hidden", "true")
  const path = document.createElementNS(SVG, "path")
  path.setAttribute("d", ICONS[name])
  svg.append(path)
  return svg
}

export function render({ model }) {
  const spec = model.layout_of_bar
  const words = spec.words
  const fields = {}    // id -> { set(value), row, wrong(text) }
  const buttons = {}   // id -> element
  const menus = {}     // id -> { button, read, panel }
  let open = null

  const outbox = makeOutbox(model, {
    merge: lastWord,
    heard: message => {
      if (message.file) download(message)
      if (message.link !== undefined) copy(message)
      if (message.speak) speak(message)
      if (message.close) shut(true)
    },
  })
  const send = (act, value = null) => outbox.say({ do: act, value })

  // Panels: not modal, closed by Esc, by a press elsewhere, by Tab past their end.
  const shut = back => {
    if (!open) return
    const { button, panel } = menus[open]
    panel.hidden = veil.hidden = true
    button.setAttribute("aria-expanded", "false")
    open = null
    if (back) button.focus()
  }
  const show = id => {
    const again = open === id
    shut(again)
    if (again) return
    const { button, panel } = menus[id]
    panel.hidden = veil.hidden = false
    button.setAttribute("aria-expanded", "true")
    open = id
    place(button, panel)
    const first = panel.querySelector("[aria-checked='true'], input:not([type=hidden]), button, select")
    first?.focus()
  }
  // On a phone a panel is a sheet from below, as high as leaves the curves in sight (top_bar.css).
  const place = (button, panel) => {
    if (narrow.matches) {
      const curves = document.getElementById("curves").getBoundingClientRect()
      const free = innerHeight - Math.max(0, curves.bottom < innerHeight ? curves.bottom : 0) - 6
      panel.style.left = ""
      panel.style.maxHeight = `${Math.max(free, Math.min(LEAST_SHEET_px, innerHeight - 60))}px`
      return
    }
    panel.style.left = "0px"
    const box = button.getBoundingClientRect(), outer = bar.getBoundingClientRect()
    const left = Math.max(8, Math.min(box.left, innerWidth - panel.offsetWidth - 8))
    panel.style.left = `${left - outer.left}px`
    panel.style.maxHeight = `${innerHeight - outer.bottom - 12}px`
  }

  const makers = {
    note: field => {
      const row = el("p", { class: "note" }, field.text)
      fields[field.id] = { row, set: text => { if (text !== undefined) row.textContent = text } }
      return row
    },
    rule: () => el("hr"),
    number: field => {
      const id = `field-${field.id}`
      const wrong = el("p", { class: "wrong", id: `${id}-wrong`, role: "alert" })
      const input = el("input", {
        class: "input number", id, type: "text", inputmode: "decimal", autocomplete: "off", size: 7,
        "aria-describedby": wrong.id,
      })
      const staged = !field.slider && ["strings", "modules"].includes(field.id)
      const commit = (value = input.value) => { if (!staged && input.value !== input.dataset.was) { input.dataset.was = input.value; send(field.id, value) } }
      input.addEventListener("change", () => commit())
      input.addEventListener("keydown", event => {
        if (event.key === "Enter") commit()
        if (event.key === "ArrowUp" || event.key === "ArrowDown") {
          event.preventDefault()
          const value = number(input.value) + (event.key === "ArrowUp" ? 1 : -1) * field.step
          if (!Number.isFinite(value)) return
          const stepped = Number(Math.min(field.most, Math.max(field.least, value)).toFixed(6))
          input.value = written(stepped)
          commit(stepped)
        }
      })
      const line = el("div", { class: "line" }, input, el("span", { class: "unit" }, field.unit))
      let slider = null
      if (field.slider) {
        slider = el("input", {
          type: "range", min: field.least, max: field.most, step: field.step,
          "aria-label": `${field.label}${field.unit ? `, ${field.unit}` : ""}`,
        })
        let stroke = false
        slider.addEventListener("input", () => {
          if (!stroke) { stroke = true; send("stroke", true) }
          input.value = input.dataset.was = written(slider.value)
          send(field.id, Number(slider.value))
        })
        slider.addEventListener("change", () => { stroke = false; send(field.id, Number(slider.value)); send("stroke", false) })
        line.prepend(slider)
      }
      const label = el("label", { for: id }, field.label)
      const row = el("div", { class: "field" }, label, line, wrong)
      fields[field.id] = {
        row,
        read: () => input.value,
        wrong: text => {
          wrong.textContent = text || ""
          if (text) input.setAttribute("aria-invalid", "true")
          else input.removeAttribute("aria-invalid")
        },
        set: value => {
          if (value === undefined || (shadow().activeElement === input && input.getAttribute("aria-invalid"))) return
          if (slider && shadow().activeElement !== slider) slider.value = number(value)
          // What waits for a press of its button stays as it was typed.
          if (input.dataset.was !== value || (!staged && shadow().activeElement !== input)) { input.value = value; input.dataset.was = value }
        },
      }
      return row
    },
    choice: field => {
      const group = el("div", { class: "choice", role: "radiogroup", "aria-labelledby": `label-${field.id}` })
      const options = field.options.map(([value, label]) => {
        const one = el("button", { type: "button", role: "radio", "aria-checked": "false", tabindex: -1 }, label)
        one.addEventListener("click", () => send(field.id, value))
        group.append(one)
        return [value, one]
      })
      group.addEventListener("keydown", event => {
        const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key]
        if (!step) return
        event.preventDefault()
        const at = options.findIndex(([, one]) => one.getAttribute("aria-checked") === "true")
        const [value, one] = options[(at + step + options.length) % options.length]
        one.focus()
        send(field.id, value)
      })
      fields[field.id] = {
        row: null,
        set: now => options.forEach(([value, one]) => {
          one.setAttribute("aria-checked", String(value === now))
          one.tabIndex = value === now ? 0 : -1
        }),
      }
      const row = el("div", { class: "field" }, el("span", { class: "label", id: `label-${field.id}` }, field.label), group)
      fields[field.id].row = row
      return row
    },
    presets: field => {
      const row = el("div", { class: "presets", role: "group", "aria-label": field.label })
      for (const [value, label] of field.options) {
        row.append(el("button", { type: "button", class: "button button--edge", onclick: () => send(field.id, value) }, label))
      }
      fields[field.id] = { row, set: () => {} }
      return row
    },
    select: field => {
      const id = `field-${field.id}`
      const select = el("select", { class: "input", id })
      if (field.at_once) select.addEventListener("change", () => send(field.id, select.value))
      let offered = ""
      const offer = options => {
        if (JSON.stringify(options) === offered) return
        offered = JSON.stringify(options)
        select.replaceChildren(...options.map(([value, label]) => el("option", { value }, label)))
      }
      fields[field.id] = { row: null, offer, read: () => select.value, set: value => { if (shadow().activeElement !== select) select.value = value } }
      return el("div", { class: "field" }, el("label", { for: id }, field.label), select)
    },
    list: field => {
      const list = el("div", { class: "list", role: "group", "aria-label": field.label })
      for (const [value, title, note] of field.options) {
        list.append(el("button", { type: "button", class: "entry", onclick: () => { send(field.id, value); shut(true) } },
          el("strong", {}, title), el("span", {}, note)))
      }
      return el("div", { class: "field" }, el("span", { class: "label" }, field.label), list)
    },
    languages: field => {
      const wrong = el("p", { class: "wrong", role: "alert" })
      const list = el("div", { class: "list", role: "group", "aria-label": field.label },
        ...field.options.map(([code, name]) => el("button", {
          type: "button", class: "entry", lang: code, "aria-current": code === field.now ? "true" : null, onclick: () => send(field.id, code),
        }, el("strong", {}, name))))
      fields[field.id] = { row: null, set: () => {}, wrong: text => { wrong.textContent = text || "" } }
      return el("div", { class: "field" }, list, wrong)
    },
    act: field => {
      const press = () => {
        if (field.id === "build") send("build", { strings: fields.strings.read(), modules: fields.modules.read(), type: fields.type.read() })
        else send(field.id)
      }
      const wrong = el("p", { class: "wrong", role: "alert" })
      const button = el("button", { type: "button", class: `button ${field.main ? "button--main" : "button--edge"} wide`, onclick: press }, field.label)
      fields[field.id] = { row: null, set: () => {}, wrong: text => { wrong.textContent = text || "" } }
      return el("div", { class: "field" }, button, wrong)
    },
    file: field => {
      const input = el("input", { type: "file", accept: field.accept, hidden: true, id: `field-${field.id}` })    // its button speaks for it
      input.addEventListener("change", async () => {
        const file = input.files[0]
        input.value = ""
        if (!file) return
        // One that is too large is refused where all others are: beside the result.
        const { name, size } = file
        send("open", size > field.most ? { name, size } : { name, text: await file.text() })
        shut(true)
      })
      const press = el("button", { type: "button", class: "button button--edge wide", onclick: () => input.click() }, field.label)
      return el("div", {}, press, input)
    },
    link: field => {
      const input = el("input", { class: "input small", id: "field-link", readonly: true, hidden: true })
      const said = el("span", { class: "quiet small", role: "status" })
      const press = el("button", { type: "button", class: "button button--edge wide", onclick: () => send("link") }, field.act)
      const wrong = el("p", { class: "wrong", role: "alert" })
      fields.link = { row: null, set: () => {}, input, said, wrong: text => { wrong.textContent = text || "" } }
      return el("div", { class: "field" }, el("label", { for: "field-link" }, field.label), press, input, said, wrong)
    },
  }

  // A link that names this machine by itself opens nowhere else: it takes the address others know, or says so.
  const copy = async ({ link, reach }) => {
    const { input, said } = fields.link
    const alone = /^(localhost|127\.|\[::1\])/.test(location.hostname)
    const url = `${alone && reach ? reach : location.origin}${location.pathname}?${link}`
    input.value = url
    input.hidden = false
    const far = !alone ? "" : reach ? words.link_network : words.link_alone
    const tell = (done) => { said.textContent = `${done} ${far}`.trim() }
    try { await navigator.clipboard.writeText(url); tell(words.copied) }
    catch { input.focus(); input.select(); tell(document.execCommand("copy") ? words.copied : words.copy_by_hand) }
  }

  // The same state in another language is a page of its own; this browser keeps the choice.
  const speak = ({ speak: code, query }) => {
    document.cookie = `pvsim-language=${code}; path=/; max-age=31536000; samesite=lax`
    location.search = query
  }
  const download = ({ file, mime, text, base64 }) => {
    const data = base64 ? Uint8Array.from(atob(base64), letter => letter.charCodeAt(0)) : text
    const link = el("a", { href: URL.createObjectURL(new Blob([data], { type: mime })), download: file })
    link.click()
    setTimeout(() => URL.revokeObjectURL(link.href), 10000)
  }

  // On a phone a tap beside an open sheet closes it and does nothing else.
  const veil = el("div", { class: "veil", hidden: true, onclick: () => shut(true) })
  const bar = el("div", { class: "bar" })
  const name = el("h1", { class: "name" }, spec.name)
  const items = el("div", { class: "items", role: "toolbar", "aria-label": spec.label })
  bar.append(name, items)
  for (const item of spec.items) {
    if (item.kind === "menu") {
      const read = el("span", {})
      const state = { type: "button", "aria-expanded": "false", "aria-haspopup": "dialog", "data-testid": `menu-${item.id}` }
      const button = item.icon
        ? el("button", { ...state, class: `button button--icon tool tool--${item.id}`, "aria-label": item.label, title: item.label }, icon(item.id))
        : el("button", { ...state, class: `menu menu--${item.id}` },
          el("span", { class: "caption" }, item.label), el("span", { class: "read" }, read))
      const panel = el("div", { class: `panel panel--${item.id}`, role: "dialog", "aria-label": item.label, hidden: true })
      for (const field of item.fields) panel.append(makers[field.kind](field))
      button.addEventListener("click", () => show(item.id))
      menus[item.id] = { button, read, panel }
      items.append(button)
      bar.append(panel)
    } else {
      const title = item.keys ? `${item.label} (${item.keys})` : item.label
      const button = el("button", { type: "button", class: `button button--icon tool tool--${item.id}`, "aria-label": item.label, title, "data-testid": `tool-${item.id}` }, icon(item.id))
      if (item.toggle) button.setAttribute("aria-pressed", "false")
      button.addEventListener("click", () => item.id === "help" ? help.showModal() : send(item.id))
      buttons[item.id] = button
      items.append(button)
    }
  }

  const help = makeHelp(spec.help, words, on => send("letters", on))
  bar.append(veil, help)
  const shadow = () => bar.getRootNode()

  const press = event => { if (open && !event.composedPath().includes(veil) && !event.composedPath().some(node => node === menus[open].panel || node === menus[open].button)) shut(false) }
  const escape = event => { if (event.key === "Escape" && open) { event.stopPropagation(); shut(true) } }
  const away = event => {
    if (!open || !event.relatedTarget) return
    if (!menus[open].panel.contains(event.relatedTarget) && event.relatedTarget !== menus[open].button) shut(false)
  }
  const asked_for = event => { if (menus[event.detail] && open !== event.detail) show(event.detail) }
  const help_asked = () => { if (!help.open) help.showModal() }
  const put_right = () => { shut(false); if (help.open) help.close() }
  const resized = () => { if (open) place(menus[open].button, menus[open].panel) }
  document.addEventListener("pointerdown", press)
  document.addEventListener("pvsim:open", asked_for)
  document.addEventListener("pvsim:help", help_asked)
  document.addEventListener("pvsim:right", put_right)
  addEventListener("resize", resized)
  bar.addEventListener("keydown", escape)
  bar.addEventListener("focusout", away)

  const update = () => {
    const now = model.values
    for (const [id, text] of Object.entries(now.reads || {})) { menus[id].read.textContent = text; menus[id].button.title = text }
    for (const [id, options] of Object.entries(now.options || {})) fields[id]?.offer(options)
    for (const [id, value] of Object.entries(now.fields || {})) fields[id]?.set(value)
    for (const [id, field] of Object.entries(fields)) if (field.row) field.row.hidden = (now.hidden || []).includes(id)
    for (const [id, button] of Object.entries(buttons)) {
      const off = (now.off || []).includes(id)
      button.setAttribute("aria-disabled", String(off))    // stays in the tab order, so focus is never lost
      if (button.hasAttribute("aria-pressed")) button.setAttribute("aria-pressed", String((now.on || []).includes(id)))
    }
    help.querySelector("[data-letters]").checked = now.fields?.letters ?? true
  }
  const judge = () => {
    for (const [id, field] of Object.entries(fields)) field.wrong?.(model.wrong[id])
  }
  model.on("values", update)
  model.on("wrong", judge)
  model.on("remove", () => {
    document.removeEventListener("pointerdown", press)
    document.removeEventListener("pvsim:open", asked_for)
    document.removeEventListener("pvsim:help", help_asked)
    document.removeEventListener("pvsim:right", put_right)
    outbox.close()
    removeEventListener("resize", resized)
  })
  update()
  return bar
}

function makeHelp(spec, words, letters) {
  const dialog = el("dialog", { class: "help", "aria-labelledby": "help-title" })
  const keys = el("dl", { class: "keys" })
  for (const [key, meaning] of spec.keys) keys.append(el("dt", {}, ...key.split(", ").map(part => el("kbd", {}, part))), el("dd", {}, meaning))
  const box = el("input", { type: "checkbox", "data-letters": true, id: "help-letters" })
  box.addEventListener("change", () => letters(box.checked))
  const close = el("button", { type: "button", class: "button button--edge", onclick: () => dialog.close() }, words.close)
  dialog.append(
    el("div", { class: "help__head" }, el("h2", { id: "help-title" }, spec.title), close),
    el("div", { class: "columns" },
      el("section", {}, el("h3", {}, spec.keys_title), keys, el("label", { class: "check" }, box, spec.letters)),
      el("section", {},
        el("h3", {}, spec.cautions_title), el("ul", {}, ...spec.cautions.map(text => el("li", {}, text))),
        el("h3", {}, spec.limits_title), el("ul", {}, ...spec.limits.map(text => el("li", {}, text))),
        el("p", { class: "quiet small" }, spec.version))),
  )
  dialog.addEventListener("click", event => { if (event.target === dialog) dialog.close() })
  return dialog
}
