// What the browser keeps of a learner's work: with another tab, without room, with a server that answers late.

import assert from "node:assert/strict"
import { afterEach, beforeEach, mock, test } from "node:test"

import { makeShelf, recallFirst } from "../../static/lesson/shelf.js"
import { layPaper } from "./paper.js"

layPaper()
const KEPT = "pvsim.workbook", ASIDE = "pvsim.workbook.unread"

class Store extends Map {
  full = false
  getItem(name) {
    return this.get(name) ?? null
  }
  setItem(name, text) {
    if (this.full) throw new Error("no room")
    this.set(name, text)
  }
  removeItem(name) {
    this.delete(name)
  }
}

let browser, tab, ears
beforeEach(() => {
  mock.timers.enable({ apis: ["setTimeout"] })
  ears = new Map()
  browser = globalThis.localStorage = new Store()
  tab = globalThis.sessionStorage = new Store()
  globalThis.addEventListener = (name, run) => ears.set(name, run)
  globalThis.removeEventListener = (name) => ears.delete(name)
})
afterEach(() => mock.timers.reset())

/** A shelf, what it asked of the page, and the page's side of it. */
function lay(workbook = "") {
  const said = [], words = { unkept_tab: "this tab alone", unkept: "nowhere" }
  let heard
  const model = { words, workbook, on: (_name, run) => { heard = run } }
  const outbox = { say: (wish) => said.push(wish), holds: (name) => said.some((one) => one.do === name) }
  const shelf = makeShelf(model, outbox)
  return {
    shelf, said,
    /** The page has dealt with all that was asked, and holds this now. */
    answer(text) { said.length = 0; if (text) model.workbook = text; shelf.answered() },
    /** Something was done on the page. */
    work(text) { model.workbook = text; heard() },
  }
}
const recall = (value) => [{ do: "recall", value }]

test("what was kept is taken in at first, and nothing written over it before the page has it", () => {
  browser.set(KEPT, "old work")
  const { said, work, answer } = lay()
  assert.deepEqual(said, recall("old work"))
  work("new work")
  assert.equal(browser.get(KEPT), "old work")
  answer()
  work("old and new")
  assert.equal(browser.get(KEPT), "old and new")
})

test("where nothing was kept work is kept as it is done", () => {
  const { said, work } = lay()
  work("first")
  assert.equal(browser.get(KEPT), "first")
  assert.deepEqual(said, [])
})

test("what another tab wrote is taken in before it is written over, and not answered for ever", () => {
  const { said, work, answer } = lay()
  work("mine")
  browser.set(KEPT, "theirs")
  ears.get("storage")({ key: KEPT, newValue: "theirs" })
  assert.deepEqual(said, recall("theirs"))
  answer("both")
  ears.get("storage")({ key: KEPT, newValue: "theirs" })
  assert.deepEqual(said, [], "it was seen already")
  ears.get("storage")({ key: "another thing", newValue: "x" })
  assert.deepEqual(said, [])
})

test("without room in the browser the tab keeps it, and says so as long as that holds", () => {
  const { shelf, work } = lay()
  browser.full = true
  work("much")
  assert.equal(tab.get(KEPT), "much")
  assert.equal(shelf.trouble.textContent, "this tab alone")
  assert.equal(shelf.trouble.hidden, false)
  tab.full = true
  work("more")
  assert.equal(shelf.trouble.textContent, "nowhere")
  browser.full = tab.full = false
  work("less")
  assert.equal(browser.get(KEPT), "less")
  assert.equal(tab.get(KEPT), undefined, "one home is enough")
  assert.equal(shelf.trouble.hidden, true)
})

test("what only the tab had kept is taken in too", () => {
  tab.set(KEPT, "of this tab")
  assert.deepEqual(lay().said, recall("of this tab"))
})

test("a server that had not the work at first is asked again", () => {
  const { said } = lay()
  browser.set(KEPT, "came late")
  mock.timers.tick(800)
  assert.deepEqual(said, recall("came late"))
})

test("what cannot be read is set aside, and forgetting takes that too", () => {
  browser.set(KEPT, "of a later pvsim")
  const { shelf, work, answer } = lay()
  shelf.setAside()
  answer()
  work("anew")
  assert.equal(shelf.aside(), "of a later pvsim")
  assert.equal(browser.get(KEPT), "anew")
  shelf.forget()
  assert.deepEqual([...browser], [])
  assert.equal(browser.get(ASIDE), undefined)
})

test("a closed shelf hears no other tab", () => {
  lay().shelf.close()
  assert.equal(ears.size, 0)
})

test("presses wait one at a time, a kept workbook goes before them and takes the place of none", () => {
  const waiting = []
  for (const one of ["turn", "recall", "open", "recall"]) recallFirst(waiting, { do: one })
  assert.deepEqual(waiting, [{ do: "recall" }, { do: "open" }])
})
