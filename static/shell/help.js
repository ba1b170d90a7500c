// @ts-check
// Help: keys, cautions, and what the model leaves out.

import { el } from "../shared/elements.js"

/**
 * @param {Bar.Help} spec
 * @param {string} close what the button says
 * @param {(on: boolean) => void} letters is told whether single letters shall be keys
 */
export function makeHelp(spec, close, letters) {
  const box = el("input", { type: "checkbox", "data-letters": true, id: "help-letters", onchange: () => letters(box.checked) })
  const keys = spec.keys.flatMap(([key, meaning]) =>
    [el("dt", {}, ...key.split(", ").map(part => el("kbd", {}, part))), el("dd", {}, meaning)])
  /** @param {string[]} texts */
  const list = texts => el("ul", {}, ...texts.map(text => el("li", {}, text)))
  const dialog = el("dialog", { class: "help", "aria-labelledby": "help-title" },
    el("div", { class: "help__head" }, el("h2", { id: "help-title" }, spec.title),
      el("button", { type: "button", class: "button button--edge", onclick: () => dialog.close() }, close)),
    el("div", { class: "columns" },
      el("section", {}, el("h3", {}, spec.keys_title), el("dl", { class: "keys" }, ...keys), el("label", { class: "check" }, box, spec.letters)),
      el("section", {},
        el("h3", {}, spec.cautions_title), list(spec.cautions),
        el("h3", {}, spec.limits_title), list(spec.limits),
        el("p", { class: "quiet small" }, spec.version))))
  dialog.addEventListener("click", event => { if (event.target === dialog) dialog.close() })

  const asked = () => { if (!dialog.open) dialog.showModal() }
  const right = () => { if (dialog.open) dialog.close() }
  document.addEventListener("pvsim:help", asked)
  document.addEventListener("pvsim:right", right)

  return {
    dialog,
    /** @param {boolean} on whether single letters are keys */
    set(on) { box.checked = on },
    close() {
      document.removeEventListener("pvsim:help", asked)
      document.removeEventListener("pvsim:right", right)
    },
  }
}
