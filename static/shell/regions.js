// @ts-check
// From region to region by keys: F6 and the links that skip, each to where the keys of a region begin.

import { find } from "../shared/elements.js"

/** Each region, and what in it the keys begin at: the first that is there.
 * @type {[string, ...string[]][]} */
const REGIONS = [
  [".bar", "button"],
  ["#roof", "[role=gridcell][tabindex='0']"],
  ["#curves", "[role=radio][aria-checked=true]"],
  ["#day", "[role=tab][aria-selected=true]"],
  ["#lesson", ".step", ".title"],
]

/**
 * @param {ParentNode} node
 * @param {string} wanted
 * @returns {HTMLElement | null}
 */
const within = (node, wanted) => {
  const found = find(node, wanted)
  if (found) return found
  for (const one of node.querySelectorAll("*")) {
    const inner = one.shadowRoot && within(one.shadowRoot, wanted)
    if (inner && inner.checkVisibility({ visibilityProperty: true })) return inner
  }
  return null
}

/** @param {[string, ...string[]]} region */
const enter = ([region, ...wanted]) => {
  const node = find(document, region)
  if (!node) return
  const target = wanted.map(one => within(node, one)).find(Boolean) || node
  if (target === node) node.tabIndex = -1    // what is covered has nothing to begin at, and is gone through all the same
  node.scrollIntoView({ block: "nearest" })
  target.focus({ preventScroll: true })
}

/** @param {boolean} back */
const onward = back => {
  const regions = REGIONS.filter(([region]) => find(document, region)?.checkVisibility())
  const at = regions.findIndex(([region]) => document.activeElement?.closest(region))
  const next = regions[at < 0 ? (back ? regions.length - 1 : 1) : at + (back ? -1 : 1)]
  if (next) enter(next)
  return Boolean(next)    // beyond the last the browser's own panes come
}

/** Listen, and give back what stops listening. */
export function hearRegionKeys() {
  /** @param {KeyboardEvent} event */
  const key = event => {    // heard before any field keeps it to itself
    if (event.key === "F6" && !event.ctrlKey && !event.altKey && !event.metaKey && onward(event.shiftKey)) event.preventDefault()
  }
  /** @param {Event} event */
  const skip = event => {
    const region = REGIONS.find(([one]) => one === /** @type {Element} */ (event.currentTarget).getAttribute("href"))
    if (region) { event.preventDefault(); enter(region) }
  }
  const skips = [...document.querySelectorAll(".skip")]
  document.addEventListener("keydown", key, true)
  for (const one of skips) one.addEventListener("click", skip)
  return () => {
    document.removeEventListener("keydown", key, true)
    for (const one of skips) one.removeEventListener("click", skip)
  }
}
