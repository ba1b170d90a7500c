// @ts-check
// Asides stay as the reader has left them when the text around them is drawn anew.

/** @param {HTMLElement} body */
export const makeAsides = body => {
  /** @type {Map<string, boolean>} */
  const left = new Map()
  let page = ""
  /** @param {Element} aside */
  const name = aside => {
    const phase = /** @type {HTMLElement | null} */ (aside.closest("[data-phase]"))
    const all = [...(phase || body).querySelectorAll(".aside")]
    return `${page} ${phase?.dataset.phase ?? ""} ${all.indexOf(aside)}`
  }
  body.addEventListener("click", event => {
    const summary = event.target instanceof Element ? event.target.closest(".aside > summary") : null
    const aside = /** @type {HTMLDetailsElement | null | undefined} */ (summary?.parentElement)
    if (aside) left.set(name(aside), !aside.open)    // before it turns
  })
  /** The text is drawn: that of a page by such a name.
   * @param {string} key */
  const drawn = key => {
    page = key
    /** @type {NodeListOf<HTMLDetailsElement>} */
    const all = body.querySelectorAll(".aside")
    for (const aside of all) {
      const was = left.get(name(aside))
      if (was !== undefined) aside.open = was
    }
  }
  return drawn
}
