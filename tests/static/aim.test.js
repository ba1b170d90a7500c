// What is pointed at, and what the tool in hand would hit there.

import assert from "node:assert/strict"
import { test } from "node:test"

import { aim, placeOfCell, within } from "../../static/roof/aim.js"
import { makePlan } from "../../static/roof/plan.js"
import { targetAt, targetOf } from "../../static/roof/target.js"

// Two modules of 2 x 2 cells in one string: left cells spanned by a diode, right ones by none; and a string of one.
const SHAPE = {
  width: 26, height: 26, cells: [2, 2, 10, 10, 2, 14, 10, 10, 14, 14, 10, 10, 14, 2, 10, 10],
  substrings: [{ first: 0, count: 2, diode: true }, { first: 2, count: 2, diode: false }],
}
const plan = makePlan({ shapes: [SHAPE], modules: [[1, 1, 0, 0, 0, 0], [1, 2, 30, 0, 0, 0], [2, 1, 0, 40, 0, 1]] })
const kind = (scope, scopes = [scope]) => ({ scope, scopes })
const KINDS = { shade: kind("cell"), "cell-open": kind("cell"), "diode-open": kind("diode"), "module-reversed": kind("module"), "string-open": kind("string"), "cut": kind("module", ["module", "string"]) }
const store = (more = {}) => ({
  plan, words: { kinds: KINDS }, level: "array", focus: {}, tray: "break", condition: "cell-open", scope: "", pending: new Map(), painted: new Map(),
  now: { faults: { cell: [], diode: [], module: [], string: [], substring: [], other: [] } }, active: { module: plan.modules[1] }, ...more,
})
const hit = (key, more = {}) => aim(store(more), targetOf(key))?.key ?? ""

test("a key is read into its place and its lead, and written again the same", () => {
  const places = {
    2: { string: 2 }, "2/5": { string: 2, module: 5 }, "2/5/14": { string: 2, module: 5, cell: 14 },
    "2/5/d3": { string: 2, module: 5, diode: 3 }, "2/5/s1": { string: 2, module: 5, substring: 1 },
  }
  for (const [key, place] of Object.entries(places)) {
    const target = targetOf(key)
    assert.deepEqual(JSON.parse(JSON.stringify(target.place)), place)
    assert.equal(targetAt(target.place).key, key)
  }
  const { place, lead } = targetOf("2/5#plus")
  assert.deepEqual([place, lead], [{ string: 2, module: 5 }, "plus"])
  assert.equal(targetAt(place, lead).key, "2/5#plus")
})

test("every cell has a place, the last of the array too", () => {
  assert.deepEqual([0, 3, 4, 11].map((cell) => targetAt(placeOfCell(store(), cell)).key), ["1/1/1", "1/1/4", "1/2/1", "2/1/4"])
})

test("a tool hits the part that its fault belongs to", () => {
  assert.equal(hit("1/2/3"), "1/2/3")
  assert.equal(hit("1/2/3", { condition: "module-reversed" }), "1/2")
  assert.equal(hit("1/2#minus", { condition: "module-reversed" }), "1/2")
  assert.equal(hit("1/2/3", { condition: "string-open" }), "1")
  assert.equal(hit("1/2/2", { condition: "diode-open" }), "1/2/d1", "the diode across the cell")
  assert.equal(hit("1/2/d1", { condition: "diode-open" }), "1/2/d1")
  assert.equal(hit("1/2/3", { condition: "cut", scope: "string" }), "1", "where a fault has a choice of parts the one that is chosen")
})

test("where it does not fit it hits nothing", () => {
  assert.equal(hit("1/2"), "", "a cell's fault on a module")
  assert.equal(hit("1", { condition: "module-reversed" }), "")
  assert.equal(hit("1/2/3", { condition: "diode-open" }), "", "no diode spans this cell")
  for (const key of ["1/2/d1", "1/2#plus"]) assert.equal(hit(key, { tray: "shade", condition: "shade:0.2" }), "", key)
})

test("looking hits whatever is there", () => {
  for (const key of ["1", "1/2", "1/2/3", "1/2/d1", "1/2#plus"]) assert.equal(hit(key, { tray: "look" }), key)
})

test("mending takes the smallest part that is broken or shaded", () => {
  const mend = (key, faults = {}, more = {}) => hit(key, { tray: "mend", now: { faults: { ...store().now.faults, ...faults } }, ...more })
  assert.equal(mend("1/2/1", { cell: [[4, "cell-open", null]], module: [[1, "module-reversed", null]] }), "1/2/1")
  assert.equal(mend("1/2/1", {}, { painted: new Map([[4, 0.2]]) }), "1/2/1")
  assert.equal(mend("1/2/1", { diode: [[2, "diode-open", null]], module: [[1, "module-reversed", null]] }), "1/2/d1")
  assert.equal(mend("1/2/1", { module: [[1, "module-reversed", null]], string: [[0, "string-open", null]] }), "1/2")
  assert.equal(mend("1/2/1", { string: [[0, "string-open", null]] }), "1")
  assert.equal(mend("1/2", {}, { pending: new Map([[7, 0.2]]) }), "1/2", "from afar a module of which one cell is shaded")
  assert.equal(mend("1/2#plus"), "1/2", "a sound lead is its module's")
  assert.equal(mend("1/2/1"), "1/2/1")
})

test("only what is in the part that is shown can be changed", () => {
  const near = (key, more) => within(store(more), targetOf(key).place)
  assert.ok(near("2/1/1", {}))
  assert.deepEqual(["1/2", "2/1"].map((key) => near(key, { level: "string", focus: { string: 1 } })), [true, false])
  assert.deepEqual(["1/2/4", "1/2#plus", "1/1/4"].map((key) => near(key, { level: "module" })), [true, true, false])
  const part = { level: "substring", focus: { string: 1, module: 2, substring: 2 } }
  assert.deepEqual(["1/2/2", "1/2/3", "1/2/d1"].map((key) => near(key, part)), [false, true, true])
})
