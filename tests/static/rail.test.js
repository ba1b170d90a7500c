import assert from "node:assert/strict"
import { test } from "node:test"

import { chainCurrent, railOf, stepsOf, terminalCurrent } from "../../static/roof/rail.js"

// Two substrings of two cells, the first with two chains of one cell each; 100 mm square, at 2 px a mm.
const PARTS = [
  { first: 0, count: 2, lengths: [1, 1], diode: true, a: [10, 0], b: [40, 0] },
  { first: 2, count: 2, lengths: [2], diode: false, a: [60, 0], b: [90, 0] },
]
const module = (rail, substrings = PARTS) => ({ left: 50, top: 50, width: 100, height: 100, shape: { rail, substrings } })
const CAMERA = { scale: 2, x: 0, y: 0 }
const rail = (side, size = { width: 1000, height: 1000 }) => railOf(module(side), CAMERA, size)

test("the rail runs beside the module on the side its box is on, with every node above its end", () => {
  assert.deepEqual([rail("top").at, rail("bottom").at, rail("left").at, rail("right").at], [60, 340, 56, 344])
  const { parts, upright } = rail("top")
  assert.equal(upright, false)
  assert.deepEqual(parts.map((one) => [one.a, one.A, one.B]), [[[120, 100], [120, 60], [180, 60]], [[220, 100], [220, 60], [280, 60]]])
  assert.deepEqual(parts.map((one) => [one.middle, one.angle]), [[[150, 60], 0], [[250, 60], 0]])
})

test("the terminals stand outside the first and the last node, and never off the screen", () => {
  assert.deepEqual([rail("top").minus, rail("top").plus], [[76, 60], [324, 60]])
  assert.deepEqual(rail("top", { width: 300, height: 300 }).plus, [285, 60])
  const turned = railOf(module("top", [PARTS[1], PARTS[0]].map((one, k) => ({ ...one, a: [90 - 50 * k, 0], b: [60 - 50 * k, 0] }))), CAMERA, { width: 1000, height: 1000 })
  assert.deepEqual([turned.minus, turned.plus], [[324, 60], [76, 60]], "of a module that is turned, the other way round")
})

test("a rail within the glass lies on the ends themselves, its terminals beyond the frame", () => {
  const { inner, at, minus, plus } = rail("across")
  assert.deepEqual([inner, at, minus, plus], [true, 100, [78, 100], [322, 100]])
})

test("the current of a substring is the sum of its chains; the leads carry that of its diode too", () => {
  const detail = { current: [3, 2, 5, 5], diodes: [0], diode_current: [1.5] }
  assert.deepEqual(PARTS.map((part) => chainCurrent(detail, part)), [5, 5])
  assert.equal(terminalCurrent(detail, module("top")), 6.5)
  assert.equal(terminalCurrent({ ...detail, diodes: [1], diode_current: [9] }, module("top")), 5, "another substring's diode is not in the way")
})

test("labels too wide for their pitch stand in two lines, neighbours never in the same", () => {
  const parts = [0, 45, 90, 200].map((x) => ({ middle: [x, 0], diode: true }))
  assert.deepEqual(stepsOf({ parts, upright: false }, ["9.00 A", "9.00 A", "9.00 A", "D4"], 12), [0, 1, 0, 0])
  assert.deepEqual(stepsOf({ parts, upright: false }, ["D1", "D2", "D3", "D4"], 12), [0, 0, 0, 0])
  assert.deepEqual(stepsOf({ parts, upright: true }, ["9.00 A", "9.00 A", "9.00 A", "9.00 A"], 12), [0, 0, 0, 0])
})
