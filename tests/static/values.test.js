import assert from "node:assert/strict"
import { after, before, test } from "node:test"

import { telling, valueText } from "../../static/roof/values.js"

before(() => { globalThis.document = { documentElement: { dataset: {} } } })
after(() => { delete globalThis.document })

test("a figure in a cell is short: as many decimals as its size leaves room for", () => {
  assert.equal(valueText("irradiance", 843.6), "844")
  assert.deepEqual([0.6123, -11.84].map((V) => valueText("voltage", V)), ["0.61", "\u221211.8"])
  assert.deepEqual([4.26, -52.3].map((P) => valueText("power", P)), ["4.3", "\u221252"])
  assert.equal(valueText("power", -0.01), "0.0", "no minus before nothing")
})

test("a hot cell's temperature is told to tens alone", () => {
  assert.equal(valueText("temperature", 84.96), "85.0")
  assert.equal(valueText("temperature", 85), "≈90")
  assert.equal(valueText("temperature", 143), "≈140")
})

// Two substrings of six cells in a row, 40 px apart.
const HALVES = [{ first: 0, count: 6 }, { first: 6, count: 6 }]
const row = (pitch = 40) => ({ font: 12, cells: new Map([...Array(12).keys()].map((k) => [k, { x: k * pitch, y: 0 }])) })
const said = (values) => ({ value: (k) => values[k], textOf: (value) => value.toFixed(1), text: (k) => values[k].toFixed(1) })
const told = (values, pointed = [], pitch = 40) => [...telling(row(pitch), HALVES, pointed, said(values))].sort((a, b) => a - b)

test("sixty equal cells tell nothing, but for the one somebody asks for", () => {
  const equal = Array(12).fill(5)
  assert.deepEqual(told(equal), [])
  assert.deepEqual(told(equal, [-1, 7]), [7])
})

test("a cell that differs tells its figure, and one of a substring that differs as a whole", () => {
  const values = [5, 5, 2, 5, 5, 5, 5, 5, 5, 5, 5, 5]
  assert.deepEqual(told(values), [2])
  const half = [...Array(6).fill(5), ...Array(6).fill(0.4)]
  assert.equal(told(half).length, 1, "most of the module is of the other figure")
})

test("of a substring's two chains one cell each tells", () => {
  const values = [...Array(6).fill(5), 0.4, 0.4, 0.4, 3, 3, 3]
  assert.deepEqual(told(values), [7, 9])
  assert.deepEqual(told(values, [8]), [7, 8, 9])
})

test("where figures would cover one another the farthest off stays", () => {
  const values = [5, 5, 1, 4, 5, 5, 5, 5, 5, 5, 5, 5]
  assert.deepEqual(told(values), [2, 3])
  assert.deepEqual(told(values, [], 15), [2])
})
