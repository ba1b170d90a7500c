// The status line: the result, an assertive live region for refusals, the caution. What is seen changes at
// once; what is heard waits until things have been still, or fifteen arrow keys would be fifteen sentences.

import { makeOutbox } from "../shared/outbox.js"

const STILL_ms = 700

export function render({ model }) {
  const outbox = makeOutbox(model)
  const words = model.words
  const line = document.createElement("div")
  line.className = "line"

  const notice = document.createElement("div")
  notice.className = "notice"
  const noticeText = document.createElement("p")
  noticeText.setAttribute("role", "alert")
  const close = document.createElement("button")
  close.className = "button button--icon"
  close.type = "button"
  close.setAttribute("aria-label", words.dismiss)
  close.textContent = "✕"
  close.addEventListener("click", () => outbox.say({ do: "dismiss" }))
  notice.append(noticeText, close)

  const said = document.createElement("p")
  said.className = "said"
  said.dataset.testid = "said"
  const voice = document.createElement("p")
  voice.className = "unseen"
  voice.setAttribute("role", "status")
  voice.dataset.testid = "voice"
  let still = 0
  const speak = () => { if (voice.textContent !== model.said) voice.textContent = model.said }

  const caution = document.createElement("p")
  caution.className = "caution"
  const more = document.createElement("button")
  more.className = "more"
  more.type = "button"
  more.textContent = words.more
  more.addEventListener("click", () => document.dispatchEvent(new CustomEvent("pvsim:help")))
  for (const size of ["long", "short"]) {
    const text = document.createElement("span")
    text.className = size
    text.textContent = words[size] + " "
    caution.append(text)
  }
  caution.append(more)

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
  line.append(notice, said, voice, caution)
  show()
  return line
}
