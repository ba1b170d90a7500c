// @ts-check
// The data sheet's place on the page: nothing, until somebody asks for it. Then its dialog is fetched and built.

import { download } from "../shared/download.js"
import { el } from "../shared/elements.js"
import { makeOutbox } from "../shared/outbox.js"

/** @typedef {ReturnType<typeof import("./dialog.js").makeDialog>} Desk */

/** @param {{ model: Outbox.Model<Outbox.Wish> }} component */
export function render({ model }) {
  const root = el("div")
  /** @type {Promise<Desk> | null} */
  let coming = null
  /** What had the keys before, and gets them back. @type {HTMLElement | null} */
  let back = null
  const outbox = makeOutbox(model, { heard: (/** @type {Sheet.Answer} */ message) => hear(message) })
  /** @type {Sheet.Say} */
  const say = (act, value = null) => outbox.say({ do: act, value })

  /** @param {Sheet.Dialog} given */
  const build = async given => {
    const { makeDialog } = await import("./dialog.js")
    const desk = makeDialog(given, say)
    desk.element.addEventListener("close", () => back?.focus())
    root.append(el("style", {}, given.style), desk.element)
    return desk
  }
  /** @param {Sheet.Answer} message */
  const hear = async message => {
    if (message.dialog) coming ??= build(message.dialog)
    if (message.file) download(message.file, message.text ?? "", message.mime ?? "")
    const desk = await coming
    if (!desk) return
    desk.hear(message)
    if (message.use && !desk.element.open) {
      back = inFocus()
      desk.show()
    }
  }
  const asked = () => say("open", coming !== null)
  document.addEventListener("pvsim:sheet", asked)
  model.on("remove", () => {
    document.removeEventListener("pvsim:sheet", asked)
    outbox.close()
    coming?.then(desk => desk.close())
  })
  return root
}

/** What has the keys, in whichever part of the page. */
function inFocus() {
  let found = document.activeElement
  while (found?.shadowRoot?.activeElement) found = found.shadowRoot.activeElement
  return /** @type {HTMLElement | null} */ (found)
}
