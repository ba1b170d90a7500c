// @ts-check
// The status line: the result, an assertive live region for refusals, the caution. What is seen changes at
// once; what is heard waits until things have been still, or fifteen arrow keys would be fifteen sentences.

import { el } from "../shared/elements.js"
import { makeOutbox } from "../shared/outbox.js"

const STILL_ms = 700

/** @param {{ model: Shell.Status }} component */
export function render({ model }) {
  const { words } = model
  const outbox = makeOutbox(model)
  const noticeText = el("p", { role: "alert" })
  const notice = el("div", { class: "notice" }, noticeText, el("button", {
    class: "button button--icon", type: "button", "aria-label": words.dismiss, onclick: () => outbox.say({ do: "dismiss" }),
  }, "✕"))
  const said = el("p", { class: "said", "data-testid": "said" })
  const voice = el("p", { class: "unseen", role: "status", "data-testid": "voice" })
  const caution = el("p", { class: "caution" },
    el("span", { class: "long" }, `${words.long} `), el("span", { class: "short" }, `${words.short} `),
    el("button", { class: "more", type: "button", onclick: () => document.dispatchEvent(new CustomEvent("pvsim:help")) }, words.more))
  let still = 0
  const speak = () => { if (voice.textContent !== model.said) voice.textContent = model.said }

  const show = () => {
    if (said.textContent !== model.said) {
      said.textContent = model.said
      clearTimeout(still)
      still = setTimeout(speak, STILL_ms)
    }
    notice.hidden = !model.notice    // shown first: an alert is read when its text comes
    if (noticeText.textContent !== model.notice) noticeText.textContent = model.notice
  }
  model.on("said", show)
  model.on("notice", show)
  model.on("remove", () => {
    clearTimeout(still)
    outbox.close()
  })
  const line = el("div", { class: "line" }, notice, said, voice, caution)
  show()
  return line
}
