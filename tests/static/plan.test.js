import assert from "node:assert/strict"
import { test } from "node:test"

import { boxOf, enters } from "../../static/roof/boxes.js"
import { cellBox, cellUnder, cellsAlong, makePlan, moduleAt, moduleKey, moduleOfCell, moduleUnder, modulesAlong, substringOf } from "../../static/roof/plan.js"

// Modules of 2 x 2 cells of 10 mm with 2 mm between them: the left two in one substring, the right two in another.
const SHAPE = {
  width: 26, height: 26,
  cells: [2, 2, 10, 10, 2, 14, 10, 10, 14, 14, 10, 10, 14, 2, 10, 10],
  substrings: [{ first: 0, count: 2 }, { first: 2, count: 2 }],
}
const TALL = { width: 10, height: 26, cells: [0, 0, 10, 26], substrings: [{ first: 0, count: 1 }] }
// Two strings: of two modules side by side, and of one below them that has a cell and a diode alone.
const SCENE = { shapes: [SHAPE, TALL], modules: [[1, 1, 0, 0, 0, 0], [1, 2, 30, 0, 0, 0], [2, 1, 0, 40, 1, 1]] }
const plan = makePlan(SCENE)

test("cells, diodes and modules are counted over the whole array", () => {
  assert.deepEqual(plan.modules.map((one) => [one.cell, one.cells, one.diode, one.diodes]), [[0, 4, 0, 2], [4, 4, 2, 2], [8, 1, 4, 1]])
  assert.deepEqual([plan.cells, plan.diodes], [9, 5])
  assert.deepEqual(plan.strings.map((one) => [one.number, one.modules.map(moduleKey)]), [[1, ["1/1", "1/2"]], [2, ["2/1"]]])
  assert.deepEqual(plan.rows.map((row) => row.map(moduleKey)), [["1/1", "1/2"], ["2/1"]])
})

test("a plan is as large as the box around its modules", () => {
  assert.deepEqual(plan.box, { left: 0, top: 0, width: 56, height: 66 })
  assert.deepEqual(boxOf([{ left: -5, top: 3, width: 2, height: 1 }, { left: 0, top: 0, width: 1, height: 1 }]), { left: -5, top: 0, width: 6, height: 4 })
})

test("every cell has its module, the first and the last of each too", () => {
  assert.deepEqual([...Array(9).keys()].map((cell) => moduleOfCell(plan, cell).index), [0, 0, 0, 0, 1, 1, 1, 1, 2])
})

test("a place leads to its module, or to none", () => {
  assert.equal(moduleAt(plan, { string: 1, module: 2 }).index, 1)
  assert.equal(moduleAt(plan, { string: 2, module: 2 }), undefined)
  assert.equal(moduleAt(plan, { string: 3, module: 1 }), undefined)
  assert.equal(moduleAt(plan, {}), undefined)
})

test("a cell has the number of its substring", () => {
  assert.deepEqual([0, 1, 2, 3].map((local) => substringOf(SHAPE, local)), [1, 1, 2, 2])
})

test("a cell lies where its module lies", () => {
  assert.deepEqual(cellBox(plan.modules[1], 2), { left: 44, top: 14, width: 10, height: 10 })
})

test("a point is on one cell, or on none between two", () => {
  assert.equal(cellUnder(plan, { x: 45, y: 15 }), 6)
  assert.equal(cellUnder(plan, { x: 13, y: 5 }), -1)
  assert.equal(moduleUnder(plan, { x: 13, y: 5 }).index, 0)
  assert.equal(moduleUnder(plan, { x: 28, y: 5 }), undefined)
})

test("a stroke skips no cell it crosses, however far apart its ends are, and meets them in order", () => {
  assert.deepEqual(cellsAlong(plan, { x: -100, y: 5 }, { x: 100, y: 5 }), [0, 3, 4, 7])
  assert.deepEqual(cellsAlong(plan, { x: 100, y: 5 }, { x: -100, y: 5 }), [7, 4, 3, 0])
  assert.deepEqual(modulesAlong(plan, { x: 5, y: 60 }, { x: 5, y: 0 }).map(moduleKey), ["2/1", "1/1"])
  assert.deepEqual(cellsAlong(plan, { x: 13, y: -9 }, { x: 13, y: 30 }), [])
})

test("a stretch enters a box at its nearer side", () => {
  const box = { left: 10, top: 0, width: 10, height: 10 }
  assert.equal(enters(box, { x: 0, y: 5 }, { x: 40, y: 5 }), 0.25)
  assert.equal(enters(box, { x: 15, y: 5 }, { x: 40, y: 5 }), 0)
  assert.equal(enters(box, { x: 0, y: 5 }, { x: 9, y: 5 }), null)
  assert.equal(enters(box, { x: 0, y: 0 }, { x: 12, y: 40 }), null)
})
