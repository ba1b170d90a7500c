import assert from "node:assert/strict"
import { test } from "node:test"

import { wishOf } from "../../static/shell/page_keys.js"

const press = (key, more = {}, letters = true) => wishOf({ key, shift: false, command: false, repeat: false, ...more }, letters)

test("with Ctrl a step is undone and done again, letters switched off or not", () => {
  for (const letters of [true, false]) {
    assert.deepEqual(press("z", { command: true }, letters), { act: "undo" })
    assert.deepEqual(press("Z", { command: true, shift: true }, letters), { act: "redo" })
    assert.deepEqual(press("y", { command: true }, letters), { act: "redo" })
  }
})

test("other keys with Ctrl are the browser's", () => {
  for (const key of ["t", "l", "1", "?", "k"]) assert.equal(press(key, { command: true }), null, key)
})

test("single letters and digits do what they say, until they are switched off", () => {
  assert.deepEqual(["k", "T", "l", "w", "?"].map((key) => press(key)?.act), ["keep", "theme", "large", "worst", "help"])
  assert.deepEqual(press("3"), { act: "level", value: 3 })
  for (const key of ["k", "t", "l", "w", "?", "3"]) assert.equal(press(key, {}, false), null, key)
  for (const key of ["0", "6", "x", "Enter", "constructor", "toString"]) assert.equal(press(key), null, key)
})

test("a letter that is held down works once", () => {
  assert.equal(press("t", { repeat: true }), null)
  assert.deepEqual(press("2", { repeat: true }), { act: "level", value: 2 }, "the same level again changes nothing")
})
