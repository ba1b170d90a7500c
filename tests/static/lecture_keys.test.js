import assert from "node:assert/strict"
import { test } from "node:test"

import { firstAct, lastAct } from "../../static/lecture/keys.js"

const button = (act, able = true) => ({ act, able, keys: [], label: "", title: "", pressed: null })
const HERE = { spaceUsed: false, joining: false, letters: true, buttons: [button("next"), button("reveal"), button("again", false)] }
const last = (key, more = {}) => lastAct(key, { ...HERE, ...more })

test("a pointing stick goes on and back wherever the focus is, on a dark screen too", () => {
  for (const dark of [false, true]) {
    assert.equal(firstAct("PageDown", dark), "next")
    assert.equal(firstAct("PageUp", dark), "back")
  }
})

test("any key of the lecture lifts a dark screen, and none is taken early from a light one", () => {
  for (const key of ["Escape", " ", "Enter", "ArrowRight", "ArrowLeft", "b", "V", "."]) {
    assert.equal(firstAct(key, true), "blank", key)
    assert.equal(firstAct(key, false), "", key)
  }
  for (const key of ["Tab", "x", "F5", "constructor"]) assert.equal(firstAct(key, true), "", key)
})

test("arrows and Space go through the cues, but for a Space that what has the focus uses", () => {
  assert.deepEqual(["ArrowRight", "ArrowLeft", " "].map((key) => last(key)), ["next", "back", "next"])
  assert.equal(last(" ", { spaceUsed: true }), "")
})

test("a letter does what the foot offers now; dark and right it does always", () => {
  assert.equal(last("v"), "reveal")
  assert.equal(last("V"), "reveal")
  assert.equal(last("a"), "", "offered, but not possible yet")
  assert.equal(last("o"), "", "not offered")
  assert.deepEqual(["b", ".", "r"].map((key) => last(key)), ["blank", "blank", "right"])
})

test("letters that are switched off do nothing", () => {
  for (const key of ["v", "b", "r", "."]) assert.equal(last(key, { letters: false }), "", key)
  assert.equal(last("ArrowRight", { letters: false }), "next")
})

test("Escape leaves the large address, and is nobody's otherwise", () => {
  assert.equal(last("Escape", { joining: true }), "join-close")
  assert.equal(last("Escape"), "")
})
