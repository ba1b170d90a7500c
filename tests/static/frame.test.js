import assert from "node:assert/strict"
import { test } from "node:test"

import { frameOf, inside, levelAt, lineIn, nearestOn, pixels } from "../../static/curves/frame.js"

const FRAME = frameOf({ x: 40, y: 10, width: 400, height: 200 }, { x: [0, 40], y: [0, 10] })
const source = (V, I) => ({ get_column: (name) => ({ V, I })[name] ?? null })

test("values become px in the frame, the greatest at its upper edge, and back", () => {
  assert.deepEqual([FRAME.toX(0), FRAME.toX(40), FRAME.toY(0), FRAME.toY(10)], [40, 440, 210, 10])
  for (const V of [-3, 0, 17.5, 50]) assert.ok(Math.abs(FRAME.fromX(FRAME.toX(V)) - V) < 1e-12)
  for (const I of [-1, 0, 9.9]) assert.ok(Math.abs(FRAME.fromY(FRAME.toY(I)) - I) < 1e-12)
})

test("points closer than a pixel are left out, but for the last and for gaps", () => {
  const found = pixels(source([0, 0.01, 10, NaN, 20, 20.001], [9, 9, 9, NaN, 8, 8]), "I", FRAME)
  assert.deepEqual(found.map(([, , V]) => V), [0, 10, NaN, 20, 20.001])
  assert.deepEqual(pixels(source([0, 1], [1, 2]), "D", FRAME), [], "no such column, no curve")
})

test("the nearest point of a curve lies on the line between two of its points, never on one across a gap", () => {
  const curve = pixels(source([0, 10, NaN, 20, 30], [5, 5, NaN, 3, 3]), "I", FRAME)
  const found = nearestOn(curve, FRAME.toX(7), FRAME.toY(6))
  assert.ok(Math.abs(found.V - 7) < 1e-9 && found.Y === 5)
  assert.equal(found.distance, 20 ** 2)
  assert.equal(nearestOn(curve, FRAME.toX(14), FRAME.toY(5)).V, 10, "the end of the piece, not the middle of the gap")
  assert.equal(nearestOn([], 0, 0), null)
})

test("what labels keep away from lies along the curve, a few px apart, inside the frame", () => {
  const [points] = lineIn(pixels(source([-20, 40], [5, 5]), "I", FRAME), FRAME)
  assert.ok(points.length >= 35, "a line of 400 px in steps of some ten at most")
  assert.ok(points.every(([x, y]) => inside(FRAME, x, y, 0) && y === FRAME.toY(5)))
  const [level, ...rest] = levelAt(FRAME, 0)
  assert.deepEqual([rest.length, level[0], level.at(-1)], [0, [FRAME.x, 210], [FRAME.x + FRAME.width, 210]])
  assert.ok(level.every(([, y]) => y === 210))
  const torn = lineIn(pixels(source([0, 10, NaN, 20, 30], [5, 5, NaN, 5, 5]), "I", FRAME), FRAME)
  assert.equal(torn.length, 2, "in pieces where the curve has a gap")
})
