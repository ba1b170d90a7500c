import assert from "node:assert/strict"
import { test } from "node:test"

import { layPaper } from "./paper.js"

layPaper()
const { sideBorder } = await import("../../static/curves/dress.js")

const FONT = { family: "x", weight: 400, k: 1, size: 12 } // on paper every letter is 6 px wide

test("numbers up to thousands leave the border as it is, wider ones have their room", () => {
  assert.equal(sideBorder(["0", "5000"], FONT), 42)
  assert.equal(sideBorder([], FONT), 42)
  assert.equal(sideBorder(["0", "-200000"], FONT), 7 * 6 + 2 + 8)
})

test("large type has a wider border", () => {
  assert.equal(sideBorder(["5000"], { ...FONT, k: 1.5, size: 18 }), 63)
})
