// @ts-check
// What cannot be taken back waits for a second press.

import { withKeys } from "./elements.js"

/**
 * The first press asks back in place of the label, the second does it; whoever goes elsewhere has not meant it.
 * One that is drawn again in between keeps the focus, and the first press counts.
 * @param {HTMLElement} button
 * @param {string} surely
 * @param {() => void} act
 */
export const twice = (button, surely, act) => {
  const label = button.textContent
  let sure = false
  /** @param {boolean} now */
  const ask = now => { sure = now; button.textContent = now ? surely : label }
  button.addEventListener("click", () => {
    const meant = sure
    ask(!meant)
    if (meant) act()
  })
  button.addEventListener("blur", () => setTimeout(() => { if (sure && withKeys(button) !== button) ask(false) }))
}
