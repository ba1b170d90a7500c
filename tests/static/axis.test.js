import assert from "node:assert/strict"
import { test } from "node:test"

import { layPaper } from "./paper.js"

layPaper()
const { finest } = await import("../../static/curves/axis.js")

const FONT = { family: "x", weight: 400, k: 1, size: 12 } // on paper every letter is 6 px wide
const SETS = [[0, 10, 20, 30, 40, 50], [0, 20, 40], [0, 50]]
const axis = (scale) => ({ px: (value) => value * scale, text: (value) => `${value}.00` })

test("as many numbers as stand apart beside each other", () => {
  assert.deepEqual(finest(SETS, axis(5), FONT, true), SETS[0])
  assert.deepEqual(finest(SETS, axis(3), FONT, true), SETS[1]) // 30 px from one to the next hold no five letters
  assert.deepEqual(finest(SETS, axis(1), FONT, true), SETS[2])
  assert.deepEqual(finest(SETS, axis(0.5), FONT, true), [0])
})

test("numbers above each other need the height of a line, whichever way the axis runs", () => {
  assert.deepEqual(finest(SETS, axis(1.6), FONT, false), SETS[0])
  assert.deepEqual(finest(SETS, axis(-1.6), FONT, false), SETS[0])
  assert.deepEqual(finest(SETS, axis(1.4), FONT, false), SETS[1])
})

test("large type has room for fewer", () => {
  assert.deepEqual(finest(SETS, axis(5), { ...FONT, size: 24 }, true), SETS[1])
})

test("without values there are no numbers", () => assert.deepEqual(finest([], axis(1), FONT, true), []))
