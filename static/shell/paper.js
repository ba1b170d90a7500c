// @ts-check
// The page as a hand-out: laid out for paper on the screen first, as canvases are drawn anew there and not while a
// printer waits, then printed, then as it was.

const PAPER_px = 718 // between usual margins of A4
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

/** The curves keep the size they have on the screen, tools and all: their canvases are not drawn anew for a printer
 * that is asked by a menu. Gives back what ends it. */
function holdCurves() {
  const { dataset } = document.documentElement
  const curves = document.getElementById("curves")
  const { width = 0, height = 0 } = curves?.getBoundingClientRect() ?? {}
  dataset.printed = "held"
  const was = curves?.style.cssText ?? ""
  if (curves && width) curves.style.cssText = `${was};width:${width}px;height:${height}px;zoom:${Math.min(1, PAPER_px / width)}`
  return () => {
    delete dataset.printed
    if (curves) curves.style.cssText = was
  }
}

/**
 * The browser's own way to print: a dialog that is open, alone; by keys the page as a hand-out, or the results of a
 * lecture that are being looked at; by a menu, where nothing can be drawn anew before, those results, or the page with
 * the curves as they are.
 * Gives back what stops listening.
 */
export function hearPrinter() {
  const { dataset } = document.documentElement
  /** @param {KeyboardEvent} event */
  const key = event => {
    const asked = (event.ctrlKey || event.metaKey) && !event.altKey && !event.shiftKey && event.key.toLowerCase() === "p"
    const results = "results" in dataset
    if (!asked || event.defaultPrevented || dataset.guest || (dataset.lecture && !results)) return
    event.preventDefault()
    printPage(results ? "results" : "")
  }
  const before = () => {
    const results = "results" in dataset
    if (dataset.paper) return
    if (!dataset.guest && !results) {
      addEventListener("afterprint", holdCurves(), { once: true })
      return
    }
    const theme = dataset.theme
    dataset.theme = "light"
    if (!dataset.guest) dataset.paper = "results" // a table has no canvas
    addEventListener("afterprint", () => {
      delete dataset.paper
      dataset.theme = theme
    }, { once: true })
  }
  document.addEventListener("keydown", key)
  addEventListener("beforeprint", before)
  return () => {
    document.removeEventListener("keydown", key)
    removeEventListener("beforeprint", before)
  }
}
