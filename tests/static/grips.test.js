// What takes hold in the figures, and what it asks for.

import assert from "node:assert/strict"
import { test } from "node:test"

import { frameOf, pixels } from "../../static/curves/frame.js"
import { areas, wishAt } from "../../static/curves/grips.js"

const FRAME = frameOf({ x: 0, y: 0, width: 400, height: 200 }, { x: [0, 40], y: [0, 10] })
const POWER = frameOf({ x: 0, y: 200, width: 400, height: 200 }, { x: [0, 40], y: [0, 400] })
const V = [0, 20, 40], I = [9, 8, 0]
const source = { get_column: (name) => ({ V, I, P: V.map((one, k) => one * I[k]) })[name] }
const scene = (shown, more = {}) => ({
  shown: { view: "curves", parts: null, ...shown }, held: [{ V: 20, I: 8, P: 160, label: {} }], parts: null,
  frames: { current: FRAME, power: POWER }, curves: { current: pixels(source, "I", FRAME), power: pixels(source, "P", POWER) }, ...more,
})
const parts = (kind) => ({ kind, at: 5, least: 1, most: 9 })

test("a finger takes hold round the point held, in each figure at its own value", () => {
  assert.deepEqual(areas(scene(), "current"), [{ left: 200 - 24, top: 40 - 24, width: 48, height: 48 }])
  assert.deepEqual(areas(scene(), "power"), [{ left: 200 - 24, top: 320 - 24, width: 48, height: 48 }])
  const beyond = scene({}, { held: [{ V: 60, I: 0, P: 0, label: {} }] })
  assert.deepEqual(areas(beyond, "current"), [], "one outside the axes cannot be held")
})

test("in the construction it takes hold along the cursor", () => {
  const series = parts("series"), parallel = parts("parallel")
  assert.deepEqual(areas(scene({ view: "parts", parts: series }, { parts: series }), "current"), [{ left: 0, top: 100 - 24, width: 400, height: 48 }])
  assert.deepEqual(areas(scene({ view: "parts", parts: parallel }, { parts: parallel }), "current"), [{ left: 50 - 24, top: 0, width: 48, height: 200 }])
  assert.deepEqual(areas(scene({ view: "parts" }), "current"), [], "nothing adds up, nothing is cut")
})

test("the pointer asks for the nearest point of the curve, in the power figure for the current that gives it", () => {
  const { point } = wishAt(scene(), "current", { x: 100, y: 30 })
  assert.ok(Math.abs(point.V - 10) < 0.1 && Math.abs(point.I - 8.5) < 0.01)
  const strong = wishAt(scene(), "power", { x: 200, y: 320 }).point
  assert.deepEqual(strong, { V: 20, I: 8 })
  assert.deepEqual(wishAt(scene(), "power", { x: -5, y: 400 }).point, { V: 0, I: 0 }, "no division by no voltage")
  assert.equal(wishAt(scene({}, { curves: {} }), "current", { x: 1, y: 1 }), null)
})

test("the cursor stays between its ends", () => {
  const at = (kind, x, y) => wishAt(scene({ view: "parts", parts: parts(kind) }), "current", { x, y }).cursor
  assert.equal(at("series", 0, 100), 5)
  assert.equal(at("series", 0, -50), 9)
  assert.equal(at("parallel", 0, 0), 1)
  assert.equal(at("parallel", 80, 0), 8)
})
