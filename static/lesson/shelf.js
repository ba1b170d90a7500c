// @ts-check
// All that a learner has done, as this browser keeps it: in its own store, or in this tab where that has no room.
// What another tab wrote is taken in, never written over; and not written back, or two tabs would answer each
// other for ever.

import { el } from "../shared/elements.js"
import { inBrowser, inTab } from "../shared/keep.js"

const KEPT = "workbook"
const ASIDE = `${KEPT}.unread`   // what this page could not read: of a later pvsim, perhaps, or damaged
const LATE_MS = [800, 2500] // a store that answers late, as one shared by several processes may, is asked again

/** The shelf says itself what was not kept, and for how long that holds. */
const quietly = () => {}

/**
 * @param {Lesson.Model} model
 * @param {Outbox.Outbox<Outbox.Wish>} outbox
 */
export function makeShelf(model, outbox) {
  const { words } = model
  const trouble = el("p", { class: "wrong unkept", role: "status", hidden: true })     // said as long as it holds
  let stuck = ""             // what this browser has kept and has no room to replace
  let recalling = false      // a kept workbook is on its way
  let recalled = false       // nothing is written over before the page has taken it in
  let seen = ""              // what was sent or stored last
  let owed = false           // something done here is not in the store yet
  let moved = false          // the page's own, since it was drawn: before that it holds nothing that is worth keeping

  /** @param {string} text */
  const store = text => {
    seen = text
    owed = false
    const kept = inBrowser.set(KEPT, text, quietly)
    stuck = kept ? "" : inBrowser.get(KEPT)
    const said = kept ? "" : inTab.set(KEPT, text, quietly) ? words.unkept_tab : words.unkept
    if (kept) inTab.forget(KEPT)
    if (trouble.textContent !== said) trouble.textContent = said
    trouble.hidden = !said
  }

  /** Have the page take in what was kept; whether there was anything new in it.
   * @param {string} text */
  const remember = text => {
    if (!text || text === seen || text === stuck || text === model.workbook) return false
    seen = text
    recalling = true
    outbox.say({ do: "recall", value: text })
    return true
  }

  const keep = () => {
    moved = true
    if (outbox.holds("recall")) return
    owed = true
    if (recalled && !remember(inBrowser.get(KEPT))) store(model.workbook)
  }
  const leave = () => {
    if (moved && recalled && !outbox.holds("recall") && [seen, stuck].includes(inBrowser.get(KEPT))) store(model.workbook)
  }
  /** Another tab has written.
   * @param {StorageEvent} event */
  const other = event => { if (event.key === `pvsim.${KEPT}` && event.newValue) remember(event.newValue) }

  if (!remember(inBrowser.get(KEPT)) && !remember(inTab.get(KEPT))) recalled = true
  const again = LATE_MS.map(wait => setTimeout(() => remember(inBrowser.get(KEPT)), wait))
  addEventListener("storage", other)
  addEventListener("pagehide", leave)
  model.on("workbook", keep)

  return {
    trouble,
    text: () => model.workbook,
    aside: () => inBrowser.get(ASIDE),
    /** What was sent last cannot be read: it is set aside before anything is written over it. */
    setAside: () => { inBrowser.set(ASIDE, seen, quietly) },
    forget() {
      store("")
      inBrowser.forget(ASIDE)
    },
    /** The server has answered; perhaps it has taken in what was kept. */
    answered() {
      if (!recalling || outbox.holds("recall")) return
      recalling = false
      recalled = true
      if (!remember(inTab.get(KEPT)) && owed) store(model.workbook)
    },
    close() {
      again.forEach(clearTimeout)
      removeEventListener("storage", other)
      removeEventListener("pagehide", leave)
    },
  }
}

/**
 * How wishes of the lesson wait: one press at a time; a kept workbook takes the place of none, and goes first.
 * @param {Outbox.Wish[]} waiting changed in place
 * @param {Outbox.Wish} wish
 */
export function recallFirst(waiting, wish) {
  const recall = wish.do === "recall"
  const same = waiting.findIndex(one => (one.do === "recall") === recall)
  if (same >= 0) waiting.splice(same, 1)
  if (recall) waiting.unshift(wish)
  else waiting.push(wish)
}
