// @ts-check
import assert from "node:assert/strict"
import { test } from "node:test"

import { hearPrinter } from "../../static/shell/paper.js"

/** Ctrl+P on a page that is what its data say; what the page is printed as, or null where the browser has its way.
 * @param {Record<string, string>} dataset
 * @param {string} [search] */
function printed(dataset, search = "") {
  const page = Object.assign(new EventTarget(), { documentElement: { dataset } })
  const window = new EventTarget()
  Object.assign(globalThis, {
    document: page, location: { search }, addEventListener: window.addEventListener.bind(window), removeEventListener: window.removeEventListener.bind(window),
  })
  const deaf = hearPrinter()
  const press = Object.assign(new Event("keydown", { cancelable: true }), { key: "p", ctrlKey: true })
  page.dispatchEvent(press)
  deaf()
  return press.defaultPrevented ? dataset.paper : null
}

test("keys of the browser print the page as a hand-out, of a lecture the results that are being looked at", (context) => {
  context.mock.timers.enable({ apis: ["setTimeout"] })
  assert.equal(printed({}), "bench")
  assert.equal(printed({}, "?lesson=diode"), "lesson")
  assert.equal(printed({ lecture: "text", results: "" }), "results")
  assert.equal(printed({ lecture: "text" }), null)
  assert.equal(printed({ guest: "sheet" }), null)
})
