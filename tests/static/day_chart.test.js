import assert from "node:assert/strict"
import { test } from "node:test"

import { pathOf, roundHours, roundValues, scalesOf } from "../../static/day/chart.js"
import { boundsOf } from "../../static/day/plan_view.js"
import { outlineOf } from "../../static/roof/day_shadows.js"

const FRAME = { left: 50, top: 4, width: 400, height: 100 }
const curve = (...powers) => ({ open: powers, shaded: powers, power: powers, followed: powers })

test("an axis of power has round numbers from 0 to its end, in about as many steps as asked for", () => {
  assert.deepEqual(roundValues(5805, 3), [0, 2000, 4000])
  assert.deepEqual(roundValues(5805, 6), [0, 1000, 2000, 3000, 4000, 5000])
  assert.deepEqual(roundValues(1, 1), [0, 1])
  assert.deepEqual(roundValues(0, 4), [0], "a day in the dark has no more than its zero")
})

test("hours stand at whole ones, farther apart where there is little room", () => {
  assert.deepEqual(roundHours(3.8, 20.9, 20), [4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20])
  assert.deepEqual(roundHours(3.8, 20.9, 6), [6, 9, 12, 15, 18])
  assert.deepEqual(roundHours(0, 23.9, 4), [0, 6, 12, 18])
})

test("a curve is interrupted where nothing is known of it yet", () => {
  const scales = { x: (hour) => hour * 10, y: (power) => 100 - power }
  assert.equal(pathOf([1, 2, 3, 4], [0, 10, null, 30], scales), "M10.0 100.0L20.0 90.0M40.0 70.0")
  assert.equal(pathOf([1, 2], [null, null], scales), "")
})

test("the first and the last time lie at the frame's ends, and what is pointed at is the nearest", () => {
  const scales = scalesOf({ hour: [6, 12, 18], powers: curve(0, 1000, null) }, FRAME)
  assert.deepEqual([scales.x(6), scales.x(18)], [50, 450])
  assert.equal(scales.y(0), 104)
  assert.ok(scales.y(1000) > 4 && scales.y(1000) < 12, "the highest power lies a little below the top")
  assert.deepEqual([49, 149, 151, 349, 351, 600].map(scales.nearest), [0, 0, 1, 1, 2, 2])
})

test("a plan holds the roof and all that stands around it, with room around", () => {
  assert.deepEqual(boundsOf({ roofs: [[0, 0, 8, 3]], things: [[2, 5, 3, 5, 3, 6]] }), [-1, -1, 10, 8])
  assert.deepEqual(boundsOf({ roofs: [], things: [] }), [0, 0, 1, 1])
})

test("a shadow's corners become an outline, and what has no area none", () => {
  assert.equal(outlineOf([0, 0, 10, 0, 10, 5]), "M0 0L10 0L10 5Z")
  assert.equal(outlineOf([0, 0, 10, 0]), "")
})
