import assert from "node:assert/strict"
import { after, before, test } from "node:test"

import { toMend } from "../../static/sheet/dialog.js"
import { keepDraft, keptDraft } from "../../static/sheet/draft.js"
import { rangeText } from "../../static/sheet/form.js"
import { arrowsOf, boxLine, pointsOf, railParts } from "../../static/sheet/module_drawing.js"
import { anchorOf, placeOf, rowsOf, ticksOf } from "../../static/sheet/scale.js"
import { makeReveal } from "../../static/sheet/steps.js"

test("a scale has round ticks from nothing to its end, and not too many", () => {
  assert.deepEqual(ticksOf(0.85), [0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8])
  assert.deepEqual(ticksOf(21.6), [0, 5, 10, 15, 20])
  for (const most of [0.3, 0.85, 1, 7, 43.2, 310, 4000]) {
    const ticks = ticksOf(most)
    assert.ok(ticks.length <= 10 && ticks.at(-1) <= most, `${most}`)
  }
})

test("a place on a scale grows with its value and stays within the scale", () => {
  const places = [-1, 0, 0.2, 0.85, 5].map((value) => placeOf(value, 0.85))
  assert.equal(places[0], places[1], "nothing lies before the beginning")
  assert.ok(places[1] > 0 && places[1] < places[2] && places[2] < places[3] && places[3] < 100)
  assert.equal(places[3], places[4], "nothing lies beyond the end")
  assert.deepEqual([3, 50, 97].map(anchorOf), ["start", "middle", "end"])
})

test("no line of a mark runs through the label of another, which stands left of its own line", () => {
  const marks = [10.1, 20, 12.2].map((at) => ({ at, read: "", label: "", kind: "found" }))
  assert.deepEqual(rowsOf(marks).map((one) => one.at), [20, 12.2, 10.1], "a line begins in its own row and goes down")
  assert.equal(marks[0].at, 10.1, "what the server sent stays as it is")
})

test("steps are shown one after the other, and of the next sheet as many", () => {
  const reveal = makeReveal()
  reveal.begin(8)
  assert.equal(reveal.shown(8), 1, "the first is there at once")
  reveal.next()
  reveal.next()
  assert.equal(reveal.shown(8), 3)
  reveal.begin(2) // a sheet whose reasoning ends early
  assert.equal(reveal.shown(2), 2)
  reveal.begin(8)
  assert.equal(reveal.shown(8), 2)
  reveal.all()
  reveal.begin(8)
  assert.equal(reveal.shown(8), 8)
  reveal.begin(2)
  reveal.begin(8)
  assert.equal(reveal.shown(8), 8, "who wants all of them wants them of every sheet")
})

test("what is to be mended is counted", () => {
  const words = { wrong_one: "one", wrong_more: "{count} things" }
  assert.deepEqual([0, 1, 3].map((count) => toMend(count, words)), ["", "one", "3 things"])
})

test("a range is told with its usual value, one of a single value as that", () => {
  const words = { usual: "{least} to {most}; usual {usual}" }
  assert.equal(rangeText(["1", "2", "5"], words), "1 to 5; usual 2")
  assert.equal(rangeText(["0", "0", "0"], words), "0")
})

test("a tab keeps what was typed, and gives back texts of known fields alone", () => {
  const kept = new Map()
  globalThis.sessionStorage = { getItem: (key) => kept.get(key) ?? null, setItem: (key, text) => kept.set(key, text) }
  assert.deepEqual(keptDraft(["isc_A"]), {})
  keepDraft({ isc_A: "9,1", title: "A", old: "1" })
  assert.deepEqual(keptDraft(["isc_A", "title", "voc_V"]), { isc_A: "9,1", title: "A" })
  for (const broken of ["{", "[1]", '{"isc_A": 3}', "null"]) {
    kept.set("pvsim.sheet", broken)
    assert.deepEqual(keptDraft(["isc_A"]), {}, broken)
  }
  delete globalThis.sessionStorage
  assert.deepEqual(keptDraft(["isc_A"]), {}, "where nothing may be kept")
  let said = 0
  document.dispatchEvent = () => { said += 1 }
  keepDraft({ isc_A: "1" })
  assert.equal(said, 1, "and that is said")
})

// Two substrings of two columns and two rows of cells of 100 mm.
const cells = [0, 1, 2, 3].flatMap((row) => [0, 1, 2, 3].map((column) => [100 * column, 100 * row, 100, 100]))
const shape = (chains, rail) => ({
  width: 400, height: 400, cells: cells.flat(), rows: [[0, 1, 2, 3]], rail,
  substrings: chains.map((one) => ({ chains: one, diode: true, a: [0, 0], b: [0, 0] })),
})
const there = [["M50 -5L50 405L150 405L150 -5"], ["M250 -5L250 405L350 405L350 -5"]]

test("where all ends lie at the upper edge no wire goes through the module", () => {
  const way = { shape: shape(there, "top"), boxes: [[200, 40]], reaches: true }
  const { line, parts } = railParts(way)
  assert.ok(line.at < 0 && !line.upright && !line.inside)
  assert.deepEqual(parts.map(({ a, b }) => [a.at[0], b.at[0]]), [[50, 150], [250, 350]], "above their own columns")
  assert.ok(parts.every(({ a, b }) => [...a.ends, ...b.ends].every((end) => !end.far)))
})

test("an end at the foot has a long way to the box, and is marked", () => {
  const away = [["M50 -5L50 405L150 -5L150 405"], ["M250 -5L250 405L350 -5L350 405"]]
  const { parts } = railParts({ shape: shape(away, "left"), boxes: [[200, 40]], reaches: false })
  assert.deepEqual(parts.map(({ a, b }) => [a.ends[0].far, b.ends[0].far]), [[false, true], [false, true]])
})

test("the boxes of two halves lie across the middle, reached from both", () => {
  const halves = [["M50 195L50 -5L150 -5L150 195", "M50 205L50 405L150 405L150 205"], ["M250 195L250 -5L350 -5L350 195", "M250 205L250 405L350 405L350 205"]]
  const way = { shape: shape(halves, "across"), boxes: [[100, 200], [300, 200]], reaches: true }
  assert.deepEqual(boxLine(way), { upright: false, at: 200, inside: true })
  const { parts } = railParts(way)
  assert.deepEqual(parts.map(({ a, b }) => a.ends.length + b.ends.length), [4, 4])
  assert.ok(parts.every(({ a, b }) => [...a.ends, ...b.ends].every((end) => !end.far)))
})

test("a box along a side edge is upright", () => {
  const way = { shape: shape(there, "left"), boxes: [[200, 40]], reaches: true }
  assert.equal(boxLine(way).upright, true)
  assert.equal(boxLine({ ...way, reaches: false }).upright, false, "one that is not reached is drawn where it usually is")
})

test("arrows stand in the middle of long ways alone, in the direction of the current", () => {
  const d = arrowsOf("M0 0L0 100L10 100L10 0", 50, 20)
  const arrows = d.split("M").slice(1)
  assert.equal(arrows.length, 2)
  assert.deepEqual(pointsOf(`M${arrows[0].replace("Z", "")}`)[0], [0, 60], "its tip ahead of the middle, downwards")
  assert.deepEqual(pointsOf(`M${arrows[1].replace("Z", "")}`)[0], [10, 40])
})

before(() => { globalThis.document = { documentElement: { dataset: {} } } })
after(() => { delete globalThis.document })
