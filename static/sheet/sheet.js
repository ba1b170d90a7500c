// @ts-check
// The data sheet's place on the page: nothing, until somebody asks for it. Then its dialog is fetched and built.

import { download } from "../shared/download.js"
import { el } from "../shared/elements.js"
import { inFocus } from "../shared/focus.js"

/** @typedef {ReturnType<typeof import("./dialog.js").makeDialog>} Desk */

/**
 * @param {HTMLElement} root where the dialog comes to stand
 * @param {Sheet.Say} say
 */
export function followSheet(root, say) {
  /** @type {Promise<Desk> | null} */
  let coming = null
  /** What had the keys before, and gets them back. @type {HTMLElement | null} */
  let back = null
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
  return {
    hear,
    close() {
      document.removeEventListener("pvsim:sheet", asked)
      coming?.then(desk => desk.close())
    },
  }
}
