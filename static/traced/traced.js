// @ts-check
// The measured curve's place on the page: nothing, until a file comes or somebody asks.

import { followGuest } from "../shared/guest.js"

/**
 * @param {HTMLElement} root where the dialog comes to stand
 * @param {Traced.Say} say
 */
export function followCurve(root, say) {
  /** A file that waits for the dialog. @type {File | null} */
  let file = null
  return followGuest(root, say, {
    event: "pvsim:curve",
    make: async (/** @type {Traced.Dialog} */ given) => (await import("./dialog.js")).makeDialog(given, say),
    opens: (/** @type {Traced.Answer} */ message) => message.bench,
    asked: event => {
      file = event instanceof CustomEvent ? event.detail ?? null : null
    },
    heard: (message, desk) => {
      if (!message.bench || !file) return
      desk.read(file)
      file = null
    },
  })
}
