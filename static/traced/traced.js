// @ts-check
// The measured curve's place on the page: nothing, until a file comes or somebody asks. Then its dialog is fetched and built.

import { el } from "../shared/elements.js"
import { inFocus } from "../shared/focus.js"

/** @typedef {ReturnType<typeof import("./dialog.js").makeDialog>} Desk */

/**
 * @param {HTMLElement} root where the dialog comes to stand
 * @param {Traced.Say} say
 */
export function followCurve(root, say) {
  /** @type {Promise<Desk> | null} */
  let coming = null
  /** What had the keys before, and gets them back. @type {HTMLElement | null} */
  let back = null
  /** A file that waits for the dialog. @type {File | null} */
  let file = null
  /** @param {Traced.Dialog} given */
  const build = async given => {
    const { makeDialog } = await import("./dialog.js")
    const desk = makeDialog(given, say)
    desk.element.addEventListener("close", () => back?.focus())
    root.append(el("style", {}, given.style), desk.element)
    return desk
  }
  /** @param {Traced.Answer} message */
  const hear = async message => {
    if (message.dialog) coming ??= build(message.dialog)
    const desk = await coming
    if (!desk) return
    desk.hear(message)
    if (message.bench && !desk.element.open) {
      back = inFocus()
      desk.show()
    }
    if (message.bench && file) {
      desk.read(file)
      file = null
    }
  }
  /** @param {Event} event */
  const asked = event => {
    file = event instanceof CustomEvent ? event.detail ?? null : null
    say("open", coming !== null)
  }
  document.addEventListener("pvsim:curve", asked)
  return {
    hear,
    close() {
      document.removeEventListener("pvsim:curve", asked)
      coming?.then(desk => desk.close())
    },
  }
}
