import assert from "node:assert/strict"
import { test } from "node:test"

import { extended, holds, spotUnder, spotsAlong, spotsOfString, taken } from "../../static/roof/mounted.js"
import { makePlan } from "../../static/roof/plan.js"
import { bowOf, middleOf } from "../../static/roof/routes.js"
import { blocksOf } from "../../static/roof/wire_options.js"
import { sideOf } from "../../static/roof/side.js"

// Two rows of two places; string 1 comes through A/1/1 and A/2/2, string 2 through A/1/2; a spare module on A/2/1. A
// second surface of one free place.
const SHAPE = { width: 1000, height: 2000, cells: [0, 0, 1000, 2000], substrings: [{ first: 0, count: 1 }] }
const MOUNTING = {
  surfaces: [
    { letter: "A", name: "", box: [0, 0, 2020, 4020], tilt: 30, azimuth: 180, height: 3 },
    { letter: "B", name: "shed", box: [4000, 0, 1000, 2000], tilt: 0, azimuth: 90, height: 2 },
  ],
  places: [[1, 1, 1, 0, 0, 1000, 2000], [1, 1, 2, 1020, 0, 1000, 2000], [1, 2, 1, 0, 2020, 1000, 2000], [1, 2, 2, 1020, 2020, 1000, 2000], [2, 1, 1, 4000, 0, 1000, 2000]],
  unwired: [[2, 0, 2020, 0]],
  spots: [0, 3, 1],
  routes: [], box: [-600, 0],
}
const SCENE = { shapes: [SHAPE], modules: [[1, 1, 0, 0, 0, 0], [1, 2, 1020, 2020, 0, 1], [2, 1, 1020, 0, 0, 0]], mounting: MOUNTING }
const plan = makePlan(SCENE)
const { mounted } = plan
const names = (spots) => spots.map((one) => one.name)

test("places know what is mounted on them", () => {
  assert.deepEqual(names(mounted.spots), ["A/1/1", "A/1/2", "A/2/1", "A/2/2", "B/1/1"])
  assert.deepEqual(mounted.spots.map((one) => one.module && `${one.module.string}/${one.module.number}`), ["1/1", "2/1", null, "1/2", null])
  assert.deepEqual(mounted.spots.map(holds), [true, true, true, true, false])
  assert.deepEqual(mounted.rows.map(names), [["A/1/1", "A/1/2"], ["A/2/1", "A/2/2"], ["B/1/1"]])
})

test("a mounted roof is as large as its places and the box where its strings meet", () => {
  assert.deepEqual(plan.box, { left: -900, top: -300, width: 5900, height: 4320 })
})

test("a stroke meets places in its order, gaps between them not", () => {
  assert.deepEqual(names(spotsAlong(mounted, { x: 500, y: 100 }, { x: 500, y: 4000 })), ["A/1/1", "A/2/1"])
  assert.deepEqual(names(spotsAlong(mounted, { x: 4500, y: 500 }, { x: 500, y: 500 })), ["B/1/1", "A/1/2", "A/1/1"])
  assert.equal(spotUnder(mounted, { x: 1010, y: 500 }), undefined)
  assert.equal(spotUnder(mounted, { x: 1500, y: 2500 }).name, "A/2/2")
})

test("a tool takes one module, a row, or a string", () => {
  const [first, second] = mounted.spots
  assert.deepEqual(names(taken(plan, first, "one")), ["A/1/1"])
  assert.deepEqual(names(taken(plan, first, "row")), ["A/1/1", "A/1/2"])
  assert.deepEqual(names(taken(plan, first, "string")), ["A/1/1", "A/2/2"])
  assert.deepEqual(names(taken(plan, second, "string")), ["A/1/2"])
  assert.deepEqual(names(taken(plan, mounted.spots[2], "string")), ["A/2/1"], "one in no string is alone")
  assert.deepEqual(names(spotsOfString(plan, 3)), [])
})

test("a string is drawn on, and a press on what it came through goes back to before that", () => {
  assert.deepEqual(extended([], 4, true), [4])
  assert.deepEqual(extended([4, 2], 7, false), [4, 2, 7])
  assert.deepEqual(extended([4, 2, 7], 2, true), [4])
  assert.deepEqual(extended([4, 2, 7], 2, false), [4, 2, 7], "a stroke that crosses it changes nothing")
})

test("there and back are drawn as two bows that do not touch", () => {
  const [there, back] = [bowOf([0, 0], [100, 0]), bowOf([100, 0], [0, 0])]
  const [one, other] = [middleOf(there), middleOf(back)]
  assert.deepEqual([one[0], other[0]], [50, 50])
  assert.ok(one[1] < -10 && other[1] > 10)
})

test("blocks are offered that a string fills", () => {
  assert.deepEqual(blocksOf(8), [[2, 4], [4, 2]])
  assert.deepEqual(blocksOf(12), [[2, 6], [3, 4], [4, 3], [6, 2]])
  assert.deepEqual(blocksOf(7), [[2, 4]])
  assert.deepEqual(blocksOf(2), [])
})

test("from the side a surface rises by its tilt, its lowest row in front", () => {
  const { slope, ground, rows } = sideOf(mounted, mounted.surfaces[0], 1)
  const [[x0, y0], [x1, y1]] = slope
  assert.ok(Math.abs((y0 - y1) / (x1 - x0) - Math.tan(Math.PI / 6)) < 1e-9)
  assert.ok(y0 < ground)
  assert.equal(rows.length, 2)
  assert.deepEqual(rows[1][0], slope[0], "the last row ends at the lower edge")
  const flat = sideOf(mounted, mounted.surfaces[1], 2)
  assert.equal(flat.slope[0][1], flat.slope[1][1])
})
