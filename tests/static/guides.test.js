import assert from "node:assert/strict"
import { test } from "node:test"

import { frameOf } from "../../static/curves/frame.js"
import { drawHairs, drawLoad, guidesIn } from "../../static/curves/guides.js"
import { layPaper } from "./paper.js"

layPaper()

const BOX = { x: 40, y: 20, width: 300, height: 100 }
const current = frameOf(BOX, { x: [0, 30], y: [0, 10] })
const power = frameOf({ ...BOX, y: 160 }, { x: [0, 30], y: [0, 200] })
const scene = (more = {}, shown = {}) => ({
  visible: ["current", "power"], frames: { current, power }, held: [{ V: 20, I: 9, P: 180 }], parts: null,
  shown: { view: "curves", load: null, ...shown }, ...more,
})
const ends = (line) => [line[0], line.at(-1)]

test("labels keep off the hair as far as it is drawn, in every figure that it goes through", () => {
  const [hair, level, ...rest] = guidesIn(scene(), "current")
  assert.deepEqual(rest, [])
  assert.deepEqual(ends(hair), [[240, 30], [240, 120]], "from the point held to the end of the frame")
  assert.deepEqual(ends(level), [[40, 30], [240, 30]], "and the one that leads to the current")
  assert.deepEqual(guidesIn(scene(), "power").map(ends), [[[240, 160], [240, 260]]], "above the power held too")
})

test("nothing is drawn that labels do not keep off", () => {
  const drawn = document.createElementNS("", "g")
  drawHairs(drawn, scene())
  const paths = drawn.children.map((one) => one.attributes.d)
  assert.deepEqual(paths, ["M240.0 30.0L240.0 260.0", "M40.0 30.0L240.0 30.0"])
})

test("what holds the operating point is kept off as well: a voltage, a current, a resistance", () => {
  const held = []
  const line = (load, kind) => guidesIn(scene({ held }, { load }), kind).map(ends)
  assert.deepEqual(line({ kind: "voltage", value: 15 }, "power"), [[[190, 160], [190, 260]]])
  assert.deepEqual(line({ kind: "current", value: 5 }, "current"), [[[40, 70], [340, 70]]])
  assert.deepEqual(line({ kind: "load", value: 6 }, "current"), [[[40, 120], [340, 70]]], "30 V over 6 ohm are 5 A")
  const layer = document.createElementNS("", "g")
  drawLoad(layer, current, "current", { kind: "current", value: 5 }, "clip")
  assert.equal(layer.children[0].attributes.d, "M40.0 70.0L340.0 70.0")
})

test("in the construction labels keep off its cursor, and nothing is held", () => {
  const parts = { kind: "series", at: 4, rows: [] }
  assert.deepEqual(guidesIn(scene({ parts }, { view: "parts" }), "current").map(ends), [[[40, 80], [340, 80]]])
  assert.deepEqual(guidesIn(scene({ parts }, { view: "parts" }), "power"), [])
})
