// @ts-check
// A sheet that fits the screen: its type grows smaller as far as it may, and what is longer yet is read on.

const SIZES = [1, 0.93, 0.86, 0.79, 0.72, 0.66]      // that are tried before the text scrolls
/** @type {Record<string, number | undefined>} */
const SMALLEST = { ask: 0.66, look: 0.72 }      // a question has to be seen whole; what explains is read on
const USUAL = 0.86
const END_px = 12 // what is left below the screen and not worth a press

/**
 * @param {HTMLElement} root whose type it is
 * @param {HTMLElement} body what scrolls
 * @param {HTMLElement} more says that there is more below
 */
export function makeFit(root, body, more) {
  const rest = () => body.scrollHeight - body.clientHeight - body.scrollTop
  const longer = () => body.scrollHeight > body.clientHeight + 1
  const tellMore = () => {
    more.hidden = rest() < END_px
    if (longer()) body.tabIndex = 0    // what scrolls can be reached by keys, and its arrows scroll it
    else body.removeAttribute("tabindex")
  }
  const fit = () => {
    const least = SMALLEST[root.dataset.moment ?? ""] ?? USUAL
    for (const size of SIZES.filter(one => one >= least)) {
      root.style.setProperty("--fit", String(size))
      if (!longer()) break
    }
    tellMore()
  }
  body.addEventListener("scroll", tellMore, { passive: true })
  const sizes = new ResizeObserver(fit)
  sizes.observe(root)
  return {
    fit,
    /** Whether there was more to read, to which it has gone on. */
    readOn() {
      if (rest() < END_px) return false
      const calm = matchMedia("(prefers-reduced-motion: reduce)").matches
      body.scrollBy({ top: body.clientHeight * 0.8, behavior: calm ? "auto" : "smooth" })
      return true
    },
    close: () => sizes.disconnect(),
  }
}
