// @ts-check
// The dark screen, for when the class shall look at whoever speaks.

import { el } from "../shared/elements.js"

/**
 * @param {string} label what is said of it to those who listen
 * @param {() => void} lifted is called when the sheet is seen again
 */
export function makeCurtain(label, lifted) {
  /** @type {HTMLElement | null} */
  let cloth = null
  const lift = () => {
    cloth?.remove()
    cloth = null
    lifted()
  }
  return {
    get drawn() { return cloth !== null },
    draw() {
      cloth = el("button", { class: "blank", type: "button", "aria-label": label, onclick: lift })
      document.body.append(cloth)
      cloth.focus()
    },
    lift,
  }
}
