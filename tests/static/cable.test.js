import assert from "node:assert/strict"
import { test } from "node:test"

import { cableUnder, pieces } from "../../static/roof/cable.js"

test("a path of moves and lines comes apart into its pieces", () => {
  assert.deepEqual(pieces("M1 2H5V-3L0.5 0M9 9H10"), [[1, 2, 5, 2], [5, 2, 5, -3], [5, -3, 0.5, 0], [9, 9, 10, 9]])
  assert.deepEqual(pieces(""), [])
})

test("the nearest cable within reach is meant, and beyond its ends none", () => {
  const cables = [
    { key: "1", lines: pieces("M0 0H100") },
    { key: "2", lines: pieces("M0 12H100V40") },
  ]
  assert.equal(cableUnder(cables, { px: 50, py: 5 }), "1")
  assert.equal(cableUnder(cables, { px: 50, py: 7 }), "2")
  assert.equal(cableUnder(cables, { px: 105, py: 30 }), "2")
  assert.equal(cableUnder(cables, { px: 50, py: 30 }), "")
  assert.equal(cableUnder(cables, { px: -9, py: 0 }), "")
  assert.equal(cableUnder(undefined, { px: 0, py: 0 }), "")
})
