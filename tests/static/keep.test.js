import assert from "node:assert/strict"
import { readdirSync, readFileSync } from "node:fs"
import { beforeEach, test } from "node:test"

import { inBrowser, inTab } from "../../static/shared/keep.js"

/** What a browser has of it: texts under names; one that is full or forbidden refuses. */
class Store extends Map {
  full = false
  getItem(name) { return this.get(name) ?? null }
  setItem(name, text) {
    if (this.full) throw new Error("no room")
    this.set(name, text)
  }
  removeItem(name) { this.delete(name) }
}

let tab, browser, said
beforeEach(() => {
  tab = globalThis.sessionStorage = new Store()
  browser = globalThis.localStorage = new Store()
  said = []
  globalThis.document = { dispatchEvent: (event) => said.push(event.type) }
})

test("a text is kept under a name of pvsim's, in the tab or in the browser, until it is forgotten", () => {
  assert.equal(inTab.get("draft"), "")
  assert.ok(inTab.set("draft", "a"))
  assert.ok(inBrowser.set("draft", "b"))
  assert.deepEqual([[...tab], [...browser]], [[["pvsim.draft", "a"]], [["pvsim.draft", "b"]]])
  assert.deepEqual([inTab.get("draft"), inBrowser.get("draft")], ["a", "b"])
  assert.ok(inTab.forget("draft"))
  assert.ok(inBrowser.set("draft", ""), "of an empty text nothing is kept")
  assert.deepEqual([tab.size, browser.size, said], [0, 0, []])
})

test("where there is no room the caller goes on without, what was there stays, and it is said", () => {
  inTab.set("draft", "old")
  tab.full = true
  assert.equal(inTab.set("draft", "new"), false)
  assert.equal(inTab.get("draft"), "old")
  assert.deepEqual(said, ["pvsim:unkept"])
  let own = 0
  assert.equal(inTab.set("draft", "new", () => { own += 1 }), false)
  assert.deepEqual([own, said.length], [1, 1], "who has a word of its own says that alone")
})

test("where asking for a store is refused nothing is thrown", () => {
  Object.defineProperty(globalThis, "localStorage", { configurable: true, get() { throw new Error("not allowed") } })
  assert.deepEqual([inBrowser.get("looks"), inBrowser.set("looks", "x"), inBrowser.forget("looks")], ["", false, false])
  Object.defineProperty(globalThis, "localStorage", { configurable: true, writable: true, value: browser })
})

test("what is kept has the names it always had, and no other script asks the browser's stores", () => {
  const root = new URL("../../static/", import.meta.url)
  const scripts = readdirSync(root, { recursive: true }).filter((name) => name.endsWith(".js"))
    .map((name) => [name, readFileSync(new URL(name, root), "utf8")])
  const asking = scripts.filter(([, text]) => /\b(local|session)Storage\b/.test(text)).map(([name]) => name)
  assert.deepEqual(asking, ["shared/keep.js"])
  const names = {
    "field/desk.js": ["search", "searches"], "lecture/lecture.js": ["lecture"], "lesson/shelf.js": ["workbook"],
    "room/phone.js": ["voter.", "way."], "sheet/draft.js": ["sheet"], "shell/address.js": ["benchmark"], "shell/looks.js": ["keys"],
  }
  for (const [file, kept] of Object.entries(names)) {
    const text = scripts.find(([name]) => name === file)?.[1] ?? ""
    for (const name of kept) assert.ok(text.includes(`"${name}"`), `${file}: ${name}`)
  }
})
