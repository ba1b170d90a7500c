// @ts-check
// The data sheet's place on the page: nothing, until somebody asks for it.

import { download } from "../shared/download.js"
import { followGuest } from "../shared/guest.js"

/**
 * @param {HTMLElement} root where the dialog comes to stand
 * @param {Sheet.Say} say
 */
export const followSheet = (root, say) => followGuest(root, say, {
  event: "pvsim:sheet",
  make: async (/** @type {Sheet.Dialog} */ given) => (await import("./dialog.js")).makeDialog(given, say),
  opens: (/** @type {Sheet.Answer} */ message) => message.use,
  heard: message => {
    if (message.file) download(message.file, message.text ?? "", message.mime ?? "")
  },
})
