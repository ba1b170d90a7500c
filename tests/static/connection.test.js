// What is said of the connection: while it is lost, and for a moment when it is back.

import assert from "node:assert/strict"
import { beforeEach, mock, test } from "node:test"

import { followConnection } from "../../static/shell/connection.js"
import { layPaper } from "./paper.js"

const WORDS = { lost: "Connection lost. ", again: "Try again", back: "Connected again." }

let banner, page, tries
beforeEach(() => {
  mock.timers.reset()
  mock.timers.enable({ apis: ["setTimeout"] })
  layPaper()
  banner = document.createElement("p")
  banner.replaceChildren = (...children) => { banner.children = children }
  Object.assign(document, { getElementById: () => banner, dispatchEvent() {} })
  globalThis.addEventListener = () => {}
  tries = 0
  const ears = {}
  page = {
    add_root() {}, on_event: (name, run) => { ears[name] = run },
    lose: () => ears.connection_lost(page, { timeout: 1000, reconnect: () => tries++ }), find: () => ears.client_reconnected(),
  }
  followConnection(page, WORDS)
})

test("a lost connection is said until it is back, and that it is back for a moment", () => {
  page.lose()
  assert.equal(banner.textContent, "Connection lost. Try again")
  mock.timers.tick(1000)
  assert.equal(tries, 1)
  assert.equal(banner.hidden, false)
  page.find()
  assert.equal(banner.textContent, "Connected again.")
  mock.timers.tick(2500)
  assert.equal(banner.hidden, true)
})

test("one that is lost again at once is said, too, until it is back", () => {
  page.lose()
  page.find()
  mock.timers.tick(2000)
  page.lose()
  mock.timers.tick(900)
  assert.equal(banner.textContent, "Connection lost. Try again")
  assert.equal(banner.hidden, false)
})
