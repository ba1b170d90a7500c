// @ts-check
// The top bar. Drawn once from `layout_of_bar`; afterwards only values change. What a slider says while a
// message is unanswered is merged, and its last value always goes out.

import { download } from "../shared/download.js"
import { el } from "../shared/elements.js"
import { lastWord, makeOutbox } from "../shared/outbox.js"
import { barIcon } from "./bar_icons.js"
import { makeFields } from "./fields.js"
import { makeHelp } from "./help.js"
import { makePanels } from "./panels.js"
import { printPage } from "./paper.js"

/** @param {{ model: Bar.Model }} component */
export function render({ model }) {
  const spec = model.layout_of_bar

  const outbox = makeOutbox(model, {
    merge: lastWord,
    heard: (/** @type {Bar.Answer} */ message) => {
      if (message.file) save(message)
      if (message.link !== undefined) fields.answer(message)
      if (message.speak) speak(message)
      if (message.close) panels.shut(true)
      if (message.print) printPage()
    },
  })
  /** @type {(act: string, value?: unknown) => void} */
  const send = (act, value = null) => outbox.say({ do: act, value })

  const bar = el("div", { class: "bar" })
  const items = el("div", { class: "items", role: "toolbar", "aria-label": spec.label })
  bar.append(el("h1", { class: "name" }, spec.name), items)
  const panels = makePanels(bar)
  const fields = makeFields({ send, shut: () => panels.shut(true), words: spec.words })
  const help = makeHelp(spec.help, spec.words.close, on => send("letters", on))

  /** What each menu reads. @type {Map<string, (text: string) => void>} */
  const reads = new Map()
  /** @type {Map<string, HTMLElement>} */
  const buttons = new Map()
  for (const item of spec.items) {
    if (item.kind === "menu") {
      const { button, read } = menuButton(item)
      const panel = el("div", { class: `panel panel--${item.id}`, role: "dialog", "aria-label": item.label, hidden: true }, ...item.fields.map(fields.make))
      reads.set(item.id, text => { read.textContent = button.title = text })
      panels.add(item.id, button, panel)
      items.append(button)
      bar.append(panel)
    } else {
      const button = toolButton(item, () => item.id === "help" ? help.dialog.showModal() : send(item.id))
      buttons.set(item.id, button)
      items.append(button)
    }
  }
  bar.append(panels.veil, help.dialog)

  const update = () => {
    const now = model.values
    for (const [id, text] of Object.entries(now.reads)) reads.get(id)?.(text)
    fields.show(now)
    for (const [id, button] of buttons) {
      button.setAttribute("aria-disabled", String(now.off.includes(id)))    // stays in the tab order, so focus is never lost
      if (button.hasAttribute("aria-pressed")) button.setAttribute("aria-pressed", String(now.on.includes(id)))
    }
    help.set(now.fields.letters ?? true)
  }
  model.on("values", update)
  model.on("wrong", () => fields.judge(model.wrong))
  model.on("remove", () => {
    panels.close()
    help.close()
    outbox.close()
  })
  update()
  return bar
}

/** The button that opens a panel, and where it shows what is set there.
 * @param {Bar.Menu} item */
function menuButton(item) {
  const read = el("span")
  const state = { type: "button", "aria-expanded": "false", "aria-haspopup": "dialog", "data-testid": `menu-${item.id}` }
  const button = item.icon
    ? el("button", { ...state, class: `button button--icon tool tool--${item.id}`, "aria-label": item.label, title: item.label }, barIcon(item.id))
    : el("button", { ...state, class: `menu menu--${item.id}` },
      el("span", { class: "caption" }, item.label), el("span", { class: "read" }, read))
  return { button, read }
}

/** @type {(item: Bar.Tool, press: () => void) => HTMLElement} */
const toolButton = (item, press) => el("button", {
  type: "button", class: `button button--icon tool tool--${item.id}`, "aria-label": item.label,
  title: item.keys ? `${item.label} (${item.keys})` : item.label, "data-testid": `tool-${item.id}`,
  "aria-pressed": item.toggle ? "false" : null, onclick: press,
}, barIcon(item.id))

/** @param {Bar.Answer} message */
const save = ({ file = "", mime = "", text = "", base64 }) =>
  download(file, base64 ? Uint8Array.from(atob(base64), letter => letter.charCodeAt(0)) : text, mime)

/** The same state in another language is a page of its own; this browser keeps the choice.
 * @param {Bar.Answer} message */
const speak = ({ speak: code, query = "" }) => {
  document.cookie = `pvsim-language=${code}; path=/; max-age=31536000; samesite=lax`
  location.search = query
}
