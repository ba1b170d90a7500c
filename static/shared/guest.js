// @ts-check
// A guest of the page: nothing, until somebody asks for it. Then its dialog is fetched and built.

import { el } from "./elements.js"
import { inFocus } from "./focus.js"

/**
 * @typedef {{ element: HTMLDialogElement, hear(message: any): void, show(): void, close(): void }} Desk
 * @typedef {{ dialog?: any }} Answer
 */

/**
 * @template {Desk} D
 * @template {Answer} A
 * @param {HTMLElement} root where the dialog comes to stand
 * @param {(act: string, value?: unknown) => void} say
 * @param {object} guest
 * @param {string} guest.event asks for it, heard on the document
 * @param {(dialog: NonNullable<A["dialog"]>) => Promise<D>} guest.make fetches its script and makes the dialog
 * @param {(message: A) => unknown} guest.opens whether a message shows it
 * @param {(event: Event) => void} [guest.asked] hears the event first
 * @param {(message: A, desk: D) => void} [guest.heard] what else comes of a message
 */
export function followGuest(root, say, { event, make, opens, asked = () => {}, heard = () => {} }) {
  /** @type {Promise<D> | null} */
  let coming = null
  /** What had the keys before, and gets them back. @type {HTMLElement | null} */
  let back = null
  /** @param {NonNullable<A["dialog"]>} given */
  const build = async given => {
    const desk = await make(given)
    desk.element.addEventListener("close", () => {
      delete document.documentElement.dataset.guest
      back?.focus()
    })
    root.append(el("style", {}, given.style), desk.element)
    return desk
  }
  /** @param {A} message */
  const hear = async message => {
    if (message.dialog) coming ??= build(message.dialog)
    const desk = await coming
    if (!desk) return
    desk.hear(message)
    if (opens(message) && !desk.element.open) {
      back = inFocus()
      desk.show()
      document.documentElement.dataset.guest = event    // what is printed then (page.css)
    }
    heard(message, desk)
  }
  /** @param {Event} told */
  const ask = told => {
    asked(told)
    say("open", coming !== null)
  }
  document.addEventListener(event, ask)
  return {
    hear,
    close() {
      document.removeEventListener(event, ask)
      coming?.then(desk => desk.close())
    },
  }
}
