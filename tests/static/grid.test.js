import assert from "node:assert/strict"
import { test } from "node:test"

import { mergeRail, stepFrom } from "../../static/roof/grid.js"

const item = (name, left, top, kind = "cell") => ({ name, kind, box: { left, top, width: 10, height: 10 } })
const names = (rows) => rows.map((row) => row.map((one) => one.name).join(" "))
const grid = () => [
  [item("a1", 0, 0), item("a2", 20, 0), item("a3", 40, 0)],
  [item("b1", 0, 20), item("b2", 20, 20), item("b3", 40, 20)],
]
const from = (rows, row, k, key, more = {}) => stepFrom(rows, rows[row][k], { key, ...more })?.name ?? null

test("arrows lead to the neighbour, and beyond an edge nowhere", () => {
  const rows = grid()
  assert.equal(from(rows, 0, 0, "ArrowRight"), "a2")
  assert.equal(from(rows, 0, 1, "ArrowLeft"), "a1")
  assert.equal(from(rows, 0, 1, "ArrowDown"), "b2")
  assert.equal(from(rows, 1, 2, "ArrowUp"), "a3")
  for (const [row, k, key] of [[0, 0, "ArrowLeft"], [0, 2, "ArrowRight"], [0, 1, "ArrowUp"], [1, 1, "ArrowDown"]]) {
    assert.equal(from(rows, row, k, key), null)
  }
})

test("Home and End lead to the ends of a row, with Ctrl to those of all", () => {
  const rows = grid()
  assert.equal(from(rows, 1, 1, "Home"), "b1")
  assert.equal(from(rows, 0, 1, "End"), "a3")
  assert.equal(from(rows, 1, 1, "Home", { ctrlKey: true }), "a1")
  assert.equal(from(rows, 0, 1, "End", { ctrlKey: true }), "b3")
  assert.equal(from(rows, 0, 1, "Enter"), null)
})

test("who was nowhere begins at the first", () => {
  const rows = grid()
  assert.equal(stepFrom(rows, item("gone", 0, 0), { key: "ArrowDown" }).name, "a1")
  assert.equal(stepFrom([], item("gone", 0, 0), { key: "ArrowDown" }), null)
})

test("down leads to what lies nearest below, of two alike to the left one and to its own kind", () => {
  const rows = [[item("top", 10, 0)], [item("left", 0, 20), item("right", 20, 20)]]
  assert.equal(from(rows, 0, 0, "ArrowDown"), "left")
  rows[1][0].kind = "diode"
  assert.equal(from(rows, 0, 0, "ArrowDown"), "right")
})

test("a lying rail is a row of its own, where the eye meets it", () => {
  const rail = [item("d2", 40, -20, "diode"), item("d1", 0, -20, "diode")]
  assert.deepEqual(names(mergeRail(grid(), rail, { upright: false })), ["d1 d2", "a1 a2 a3", "b1 b2 b3"])
  const below = rail.map((one) => item(one.name, one.box.left, 60, "diode"))
  assert.deepEqual(names(mergeRail(grid(), below, { upright: false })), ["a1 a2 a3", "b1 b2 b3", "d1 d2"])
})

test("an upright rail stands beside the rows it lies next to, one of it to a row", () => {
  const rows = grid()
  const rail = [item("d2", 60, 21, "diode"), item("d1", 60, 19, "diode")]
  assert.deepEqual(names(mergeRail(rows, rail, { upright: true })), ["a1 a2 a3 d2", "b1 b2 b3 d1"])
  assert.deepEqual(names(rows), ["a1 a2 a3", "b1 b2 b3"], "what was given is left alone")
  assert.equal(mergeRail(rows, [], { upright: true }), rows)
})
