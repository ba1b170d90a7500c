// @ts-check
// What has the keys, in whichever part of the page: a dialog gives them back when it closes.

/** @returns {HTMLElement | null} */
export function inFocus() {
  let found = document.activeElement
  while (found?.shadowRoot?.activeElement) found = found.shadowRoot.activeElement
  return /** @type {HTMLElement | null} */ (found)
}
