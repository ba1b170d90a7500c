// @ts-check
// The page's address, which carries the state, and the browser's history of what was shown.

import { inTab } from "../shared/keep.js"

const STILL_MS = 400        // browsers limit how often the address may change
const SETTLED_MS = 5000     // a server that is gone says nothing
const BENCH = "benchmark"

/**
 * The address follows the state once things have been still for a moment. What fits into none is kept in this
 * tab, under a word in the address that asks for it.
 * @param {Shell.Frame} model
 * @param {Shell.Ask} ask
 */
export function followAddress(model, ask) {
  const { session } = document.documentElement.dataset
  let timer = 0
  const outdated = () => {
    clearTimeout(timer)
    timer = setTimeout(() => ask("address"), STILL_MS)
  }
  model.on("revision", outdated)
  if (session) outdated()    // drawn anew after a gap, in which a change may have gone unheard

  /** @type {string | null} */
  let benched = null
  /** @param {string} text */
  const bench = text => {
    if (text === benched) return
    benched = text
    inTab.set(BENCH, text, () => ask("unkept", "array"))
  }
  if (!session && new URLSearchParams(location.search).has("kept")) {
    ask("bench", inTab.get(BENCH))    // before any change could write over it
  }
  return {
    /** The server says what the address is now, and what did not fit into it.
     * @param {Shell.Answer} message */
    renamed({ address, bench: text = "" }) {
      bench(text)
      const wanted = location.pathname + (address ? "?" + address : "")
      if (wanted !== location.pathname + location.search) history.replaceState(history.state, "", wanted + location.hash)
    },
    close: () => clearTimeout(timer),
  }
}

/**
 * What is shown makes the steps of the browser's history; what is done to the array does not, it has undo.
 * @param {Shell.Frame} model
 * @param {Shell.Ask} ask
 */
export function followHistory(model, ask) {
  const told = () => JSON.stringify(model.shown)
  let here = told(), going = 0
  const mark = () => history.replaceState({ ...history.state, pvsim: here }, "")
  const arrived = () => { clearTimeout(going); going = 0 }
  const step = () => {
    if (told() === here) return
    here = told()
    if (going) mark()
    else history.pushState({ pvsim: here }, "")
  }
  /** @param {PopStateEvent} event */
  const went = event => {
    const wanted = event.state?.pvsim
    if (!wanted) { mark(); return }          // a place within the page, which has an address of its own
    if (wanted === here) return
    going = setTimeout(arrived, SETTLED_MS)
    here = wanted
    ask("show", JSON.parse(wanted))
  }
  mark()
  model.on("shown", step)
  addEventListener("popstate", went)
  return {
    // What cannot be shown any more, as when a lecture is held, leaves one where one is.
    settled: () => setTimeout(() => {
      arrived()
      if (told() !== here) step()
    }),
    close: () => removeEventListener("popstate", went),
  }
}
