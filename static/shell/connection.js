// @ts-check
// The connection to the server: said where it is lost, and tried again.

import { el } from "../shared/elements.js"
import { keepRootsHere, speakWhenHeard, startReading } from "./mends.js"

const RETRY_MS = 3000       // BokehJS alone would wait longer each time, and at last for ever
const SEEN_MS = 2500        // how long it is said that it is back

/** @type {(text: string, label?: string, press?: () => void) => void} */
const say = (text, label, press) => {
  const banner = document.getElementById("connection")
  if (!banner) return
  banner.hidden = !text
  banner.replaceChildren(text, ...(label ? [el("button", { type: "button", onclick: press }, label)] : []))
}

/**
 * After a gap the whole document comes anew, and with it the component that calls this: it listens once a page.
 * @param {any} page a document of BokehJS
 * @param {Shell.Frame["words"]} words
 */
export function followConnection(page, { lost, again, back }) {
  if (page.pvsim_hears) return
  page.pvsim_hears = true
  keepRootsHere(page)
  let trying = 0, hiding = 0
  /** @type {any} */
  let event = null
  const retry = () => event?.reconnect()
  page.on_event("connection_lost", (/** @type {unknown} */ _page, /** @type {any} */ latest) => {
    event = latest
    startReading(latest.connection?.deref())
    speakWhenHeard(latest.connection?.deref())
    say(lost, again, retry)
    clearTimeout(hiding)
    clearTimeout(trying)
    trying = setTimeout(retry, Math.min(event.timeout ?? RETRY_MS, RETRY_MS))   // a class is waiting
  })
  page.on_event("client_reconnected", () => {
    clearTimeout(trying)
    say(back)
    hiding = setTimeout(() => say(""), SEEN_MS)
    document.dispatchEvent(new CustomEvent("pvsim:connected"))
  })
  addEventListener("online", retry)
}
