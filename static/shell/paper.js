// @ts-check
// The page as a hand-out: laid out for paper on the screen first, as canvases are drawn anew there and not while a
// printer waits, then printed, then as it was.

const SETTLED_ms = 900 // until regions and canvases have their new size

/**
 * Print what is on the bench, and the text of the lesson that is open, in light colours.
 * @param {string} what "results": those of a lecture alone
 */
export function printPage(what = "") {
  const { dataset } = document.documentElement
  if (dataset.paper) return
  const theme = dataset.theme
  dataset.paper = what ? what : new URLSearchParams(location.search).has("lesson") ? "lesson" : "bench"
  dataset.theme = "light"
  const restore = () => {
    delete dataset.paper
    dataset.theme = theme
    removeEventListener("afterprint", restore)
  }
  setTimeout(() => {
    addEventListener("afterprint", restore)
    print()
  }, SETTLED_ms)
}

/** The browser's own way to print: a dialog that is open, alone; the page as a hand-out. Gives back what stops listening. */
export function hearPrinter() {
  const { dataset } = document.documentElement
  /** @param {KeyboardEvent} event */
  const key = event => {
    const asked = (event.ctrlKey || event.metaKey) && !event.altKey && !event.shiftKey && event.key.toLowerCase() === "p"
    if (!asked || event.defaultPrevented || dataset.guest || dataset.lecture) return
    event.preventDefault()
    printPage()
  }
  const inLight = () => {
    if (!dataset.guest) return
    const theme = dataset.theme
    dataset.theme = "light"
    addEventListener("afterprint", () => { dataset.theme = theme }, { once: true })
  }
  document.addEventListener("keydown", key)
  addEventListener("beforeprint", inLight)
  return () => {
    document.removeEventListener("keydown", key)
    removeEventListener("beforeprint", inLight)
  }
}
