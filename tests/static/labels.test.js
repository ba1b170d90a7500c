import assert from "node:assert/strict"
import { test } from "node:test"

import { labelSize, placeLabels } from "../../static/curves/labels.js"
import { layPaper } from "./paper.js"

layPaper()

const FONT = { family: "x", weight: 600, k: 1 }
const FRAME = { x: 0, y: 0, width: 400, height: 300 }
const label = (x, y, text = "Isc 9.00 A", more = {}) => ({ x, y, parts: [[text, ""]], ...more })
const place = (labels, { lines = [], taken = [], frame = FRAME } = {}) => placeLabels(labels, frame, { whole: lines, guides: [] }, taken, FONT, 12)
const apart = (a, b) => a.x + a.width <= b.x || b.x + b.width <= a.x || a.y + a.height <= b.y || b.y + b.height <= a.y
const within = (box, frame) => box.x >= frame.x && box.x + box.width <= frame.x + frame.width && box.y >= frame.y && box.y + box.height <= frame.y + frame.height

test("a label is as wide as its letters, an index smaller, every figure as wide as a zero", () => {
  assert.deepEqual(labelSize([["abcd", ""]], FONT, 10), { width: 22, height: 12.5 })
  assert.equal(labelSize([["V", ""], ["oc", "sub"]], FONT, 10).width, 5 + 7.2 + 2)
  assert.equal(labelSize([["111", ""]], FONT, 10).width, labelSize([["888", ""]], FONT, 10).width)
})

test("a label alone stands close to its point, on the side it prefers", () => {
  const [free] = place([label(200, 150)])
  assert.ok(free.box.x > 200 && free.box.y + free.box.height < 150, "to the right and above")
  assert.ok(Math.hypot(free.box.x - 200, free.box.y + free.box.height - 150) < 15)
  const [left] = place([label(200, 150, "Isc", { prefer: [3] })])
  assert.ok(left.box.x + left.box.width < 200 && left.box.y > 150)
})

test("labels of one place do not cover one another, nor what is taken", () => {
  const taken = [{ x: 190, y: 140, width: 20, height: 20 }]
  const placed = place([label(200, 150), label(204, 152), label(198, 149), label(202, 155)], { taken })
  assert.equal(placed.length, 4)
  const boxes = [{ x: 190, y: 140, width: 20, height: 20 }, ...placed.map((one) => one.box)]
  boxes.forEach((one, k) => boxes.slice(k + 1).forEach((other) => assert.ok(apart(one, other))))
  assert.equal(taken.length, 5, "where they stand is taken from then on")
})

test("labels at an edge stay within the frame", () => {
  for (const [x, y] of [[0, 0], [400, 0], [0, 300], [400, 300]]) {
    const [one] = place([label(x, y, "MPP 310.0 W at 31.2 V")])
    assert.ok(within(one.box, FRAME), `${x} ${y}`)
  }
})

test("a label keeps off a curve where there is room beside it", () => {
  const points = [...Array(80).keys()].map((k) => [k * 5, 150 - k * 1.2]) // runs to the right and upwards
  const [one] = place([label(200, 102)], { lines: [points] })
  assert.ok(!points.some(([x, y]) => x > one.box.x && x < one.box.x + one.box.width && y > one.box.y && y < one.box.y + one.box.height))
})

test("where there is no room for all the least important go, and nothing is laid over another", () => {
  const frame = { x: 0, y: 0, width: 90, height: 40 } // room for two
  const many = [...Array(8).keys()].map((k) => label(45, 20, "Isc 9.00 A", { k }))
  assert.deepEqual(place(many, { frame }).map((one) => one.k), [0, 1])
  many[5].must = true
  assert.deepEqual(place(many, { frame }).map((one) => one.k), [0, 5])
  assert.equal(place(many.map((one) => ({ ...one, must: true })), { frame }).length, 2)
})
