import assert from "node:assert/strict"
import { test } from "node:test"

import { layPaper } from "./paper.js"

layPaper()
const { choiceBars, legend, numberChart, table } = await import("../../static/lecture/chart.js")

const round = (counts, more = {}) => ({ name: "first", counts, total: counts.reduce((sum, one) => sum + one, 0), people: "5 answers", below: 0, above: 0, ...more })
const numbers = (more = {}) => ({ rounds: [round([1, 3, 0])], most: 3, edges: [0, 10, 20, 30], ticks: ["0", "10", "20", "30"], unit: "W", ...more })
const figure = (node, name) => Number(node.attributes[name])
const columns = (chart) => chart.all("rect").filter((one) => one.attributes.class.startsWith("column "))

test("bars are as long as their counts, the longest of all rounds the longest", () => {
  const chart = { most: 4, rounds: [round([4, 1]), round([2, 3])] }
  const bars = [0, 1].map((k) => choiceBars(chart, k).all("span").filter((one) => one.attributes.class.startsWith("bar bar--")))
  assert.deepEqual(bars.map((row) => row.map((one) => one.attributes.style)), [["width: 74%", "width: 37%"], ["width: 18.5%", "width: 55.5%"]])
  assert.deepEqual(bars[0].map((one) => one.attributes.class), ["bar bar--first", "bar bar--last"], "rounds differ by hatching")
  assert.match(choiceBars(chart, 0).textContent, /4 80\u202f%2 40\u202f%/)
})

test("nobody's answers are no bars, and no division by nothing", () => {
  const one = choiceBars({ most: 0, rounds: [round([0, 0])] }, 0)
  assert.equal(one.all("span").find((bar) => /bar--/.test(bar.attributes.class)).attributes.style, "width: 0%")
  assert.equal(one.textContent, "0")
})

test("columns stand side by side over an axis, as high as their counts", () => {
  const found = columns(numberChart(numbers()))
  const high = found.map((one) => figure(one, "height"))
  assert.deepEqual(high.map((one) => Math.round((300 * one) / high[1])), [100, 300, 0])
  assert.ok(found.every((one, k) => !k || figure(one, "x") > figure(found[k - 1], "x") + figure(found[k - 1], "width")))
  const floor = found.map((one) => figure(one, "y") + figure(one, "height"))
  assert.ok(floor.every((one) => Math.abs(one - floor[0]) < 1e-9))
})

test("answers beyond the axis have columns of their own at its ends", () => {
  const chart = numberChart(numbers({ rounds: [round([1, 3, 0], { below: 2, above: 1 })] }))
  const found = columns(chart)
  assert.equal(found.length, 5)
  const texts = chart.all("text").map((one) => one.textContent)
  assert.ok(texts.includes("<") && texts.includes(">"))
  const axis = chart.all("line")[0]
  assert.ok(found.some((one) => figure(one, "x") < figure(axis, "x1")) && found.some((one) => figure(one, "x") > figure(axis, "x2")))
})

test("ticks stand at the edges of the columns, and as many as there is room for", () => {
  const chart = numberChart(numbers())
  const ticks = chart.all("text").filter((one) => one.attributes.class === "tick").map((one) => one.textContent)
  assert.deepEqual(ticks, ["0", "10", "20", "30"])
  const edges = [...Array(41).keys()]
  const crowded = numberChart(numbers({ rounds: [round(edges.slice(1).map(() => 1))], most: 1, edges, ticks: edges.map((one) => `${one}000.0`) }))
  const marks = crowded.all("text").filter((one) => one.attributes.class === "tick")
  assert.ok(marks.length > 2 && marks.length < 41)
  assert.ok(marks.every((one, k) => !k || figure(one, "x") - figure(marks[k - 1], "x") >= 21 * 6), "none touches the next")
})

test("nothing written lies on anything else, or on a column, however many answers there are", () => {
  const many = (bins, seed) => [...Array(bins).keys()].map((k) => (k * seed) % 37)
  for (const bins of [1, 3, 9, 24]) {
    const edges = [...Array(bins + 1).keys()].map((k) => 1000.5 + k * 7.5)
    const rounds = [round(many(bins, 11), { below: 30, above: 12 }), round(many(bins, 17), { below: 31, above: 14 })]
    const chart = numberChart(numbers({ rounds, most: 36, edges, ticks: edges.map(String), unit: "kWh" }))
    // in the face of the page a figure is 0.6 of its type wide, and 0.7 high
    const boxes = chart.all("text").map((one) => {
      const size = { "column-count": 28, "band-text": 32 }[one.attributes.class] ?? 30
      const width = 0.6 * size * one.textContent.length
      const x = figure(one, "x") - (one.attributes.class.includes("unit") ? width : width / 2)
      return { text: one.textContent, x, y: figure(one, "y") - 0.7 * size, width, height: 0.7 * size }
    })
    const meet = (a, b) => a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height
    boxes.forEach((one, k) => boxes.slice(k + 1).forEach((other) => assert.ok(!meet(one, other), `${bins}: ${one.text} on ${other.text}`)))
    const unit = boxes.find((one) => one.text === "kWh")
    assert.ok(!columns(chart).some((one) => meet(unit, Object.fromEntries(["x", "y", "width", "height"].map((name) => [name, figure(one, name)])))))
    assert.ok(boxes.every((one) => one.x >= 0 && one.x + one.width <= 1000), "within the picture")
  }
})

test("the band of what is right lies where it is, and is wide enough to be seen", () => {
  const band = (from, to) => {
    const chart = numberChart(numbers({ band: { from, to, truth: (from + to) / 2, text: "12 W" } }))
    const rect = chart.all("rect").find((one) => one.attributes.class === "band")
    const axis = chart.all("line")[0]
    const place = (x) => (30 * (x - figure(axis, "x1"))) / (figure(axis, "x2") - figure(axis, "x1"))
    return { from: place(figure(rect, "x")), width: figure(rect, "width"), text: chart.all("text").find((one) => one.attributes.class === "band-text").textContent }
  }
  assert.ok(Math.abs(band(10, 14).from - 10) < 1e-9)
  assert.equal(band(10, 14).text, "12 W")
  assert.equal(band(12, 12).width, 6)
  assert.equal(numberChart(numbers()).all("rect").filter((one) => one.attributes.class === "band").length, 0)
})

test("without answers there is no chart", () => {
  assert.equal(numberChart(numbers({ edges: [0], ticks: ["0"], rounds: [round([])] })), null)
})

test("those who listen get the same numbers as a table, and a legend names the rounds for those who see", () => {
  const sheet = table({ table: { head: ["Answer", "first"], rows: [["A", "4"], ["B", "1"]] } }, "Answers of the class")
  assert.deepEqual(sheet.all("caption").map((one) => one.textContent), ["Answers of the class"])
  assert.deepEqual(sheet.all("th").map((one) => [one.attributes.scope, one.textContent]), [["col", "Answer"], ["col", "first"], ["row", "A"], ["row", "B"]])
  assert.deepEqual(sheet.all("td").map((one) => one.textContent), ["4", "1"])
  assert.equal(legend({ rounds: [round([4, 1])] }).textContent, " 5 answers")
  assert.equal(legend({ rounds: [round([4, 1]), round([2, 3], { name: "second" })] }).textContent, " first: 5 answers second: 5 answers")
})
