// @ts-check
// Fields of a panel by which a state leaves the page or comes into it: files and links.

import { el } from "../shared/elements.js"
import { fileButton } from "../shared/file_button.js"
import { asText, handOnCurve } from "../shared/incoming.js"

/** A scenario from a file; a measured curve that was chosen here finds its way too.
 * @type {(spec: Bar.FileSpec, hand: Bar.Hand) => Bar.Field} */
export function fileField(spec, hand) {
  /** @param {File} file */
  const take = async file => {
    hand.shut()
    if (!(await handOnCurve(file))) hand.send(spec.id, await asText(file, spec.most))
  }
  const more = { press: { class: "button button--edge wide" }, field: { id: `field-${spec.id}` } }
  return { row: el("div", {}, ...fileButton(spec.label, spec.accept, take, more)) }
}

/**
 * The address of a state, and whom it serves. One that names this machine by itself opens nowhere else: it
 * takes the address others know, where there is one.
 * @param {Pick<Bar.Answer, "link" | "reach">} message
 * @param {Pick<Location, "hostname" | "origin" | "pathname">} here
 * @returns {{ url: string, serves: "all" | "network" | "alone" }}
 */
export function linkAddress({ link, reach }, here) {
  const alone = /^(localhost|127\.|\[::1\])/.test(here.hostname)
  const url = `${alone && reach ? reach : here.origin}${here.pathname}?${link}`
  return { url, serves: !alone ? "all" : reach ? "network" : "alone" }
}

/** A link to the present state, which the server writes.
 * @type {(spec: Bar.LinkSpec, hand: Bar.Hand) => Bar.Field} */
export function linkField({ id, label, act }, { send, words }) {
  const input = el("input", { class: "input small", id: "field-link", readonly: true, hidden: true })
  const said = el("span", { class: "quiet small", role: "status" })
  const wrong = el("p", { class: "wrong", role: "alert" })
  const press = el("button", { type: "button", class: "button button--edge wide", onclick: () => send(id) }, act)
  const far = { all: "", network: words.link_network, alone: words.link_alone }
  return {
    row: el("div", { class: "field" }, el("label", { for: "field-link" }, label), press, input, said, wrong),
    wrong(text) { wrong.textContent = text },
    async answer(message) {
      const { url, serves } = linkAddress(message, location)
      input.value = url
      input.hidden = false
      /** @param {string} done */
      const tell = done => { said.textContent = `${done} ${far[serves]}`.trim() }
      try { await navigator.clipboard.writeText(url); tell(words.copied) }
      catch { input.focus(); input.select(); tell(document.execCommand("copy") ? words.copied : words.copy_by_hand) }
    },
  }
}
