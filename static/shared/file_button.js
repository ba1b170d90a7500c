// @ts-check
// A button by which a person gives a file. The browser's own field behind it is neither seen nor heard nor
// reached by Tab: the button speaks for it, once.

import { el } from "./elements.js"

/**
 * @param {string} label
 * @param {string} accept kinds of files that are offered first
 * @param {(file: File) => void} take gets the file; the same one can be given again
 * @param {{ press?: Record<string, any>, field?: Record<string, any> }} [more] attributes of the button and of the field
 * @returns {[press: HTMLButtonElement, field: HTMLInputElement]}
 */
export function fileButton(label, accept, take, { press = {}, field = {} } = {}) {
  const input = el("input", { type: "file", accept, hidden: true, ...field })
  input.addEventListener("change", () => {
    const file = input.files?.[0]
    input.value = ""
    if (file) take(file)
  })
  return [el("button", { type: "button", class: "button button--edge", ...press, onclick: () => input.click() }, label), input]
}
