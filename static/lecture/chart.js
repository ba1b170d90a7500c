// @ts-check
// The answers of a class: bars beside each choice, or a histogram of numbers. Rounds differ by hatching
// and by name, never by colour alone; a table says the same to those who listen.

import { el, svg } from "../shared/elements.js"
import { place } from "../shared/placer.js"

const WIDTH = 1000, HIGH = 200, FOOT = 50, TOP = 84
const LETTER = 21, COUNT_LETTER = 18 // widths of a letter along the axis and above a column
const COUNT_HIGH = 21, TICK_HIGH = 22, NEAR = 7 // heights of letters, and how near to its point a label stands
const ABOVE = 4, BELOW = 5

/**
 * Bars of one choice, a line for each round.
 * @param {Lecture.Choices} chart
 * @param {number} k
 */
export const choiceBars = (chart, k) => el("span", { class: "bars", "aria-hidden": "true" },
  ...chart.rounds.map((round, n) => el("span", { class: "bar-line" },
    el("span", { class: `bar bar--${which(chart, n)}`, style: `width: ${chart.most ? (74 * round.counts[k]) / chart.most : 0}%` }),
    el("b", {}, String(round.counts[k])),
    el("span", { class: "quiet" }, round.total ? ` ${Math.round((100 * round.counts[k]) / round.total)}\u202f%` : ""))))

/**
 * What each kind of bar stands for, and how many answered.
 * @param {Lecture.Choices} chart
 */
export const legend = chart => el("p", { class: "legend", "aria-hidden": "true" },
  ...chart.rounds.map((round, n) => el("span", { class: "legend__one" },
    el("span", { class: `bar bar--${which(chart, n)} legend__bar` }), ` ${chart.rounds.length > 1 ? `${round.name}: ` : ""}${round.people}`)))

/**
 * The first of two rounds is hatched, the last one solid.
 * @param {Lecture.Choices} chart
 * @param {number} n
 */
const which = (chart, n) => n < chart.rounds.length - 1 ? "first" : "last"

/**
 * The same numbers for those who listen.
 * @param {Lecture.Choices} chart
 * @param {string} caption
 */
export const table = (chart, caption) => el("table", { class: "unseen" },
  el("caption", {}, caption),
  el("thead", {}, el("tr", {}, ...chart.table.head.map(text => el("th", { scope: "col" }, text)))),
  el("tbody", {}, ...chart.table.rows.map(([name, ...rest]) => el("tr", {}, el("th", { scope: "row" }, name), ...rest.map(text => el("td", {}, text))))))

/**
 * Numbers as columns over their axis, with the solver's band once it may be seen.
 * @param {Lecture.Numbers} chart
 */
export const numberChart = chart => {
  const below = chart.rounds.some(one => one.below), above = chart.rounds.some(one => one.above)
  const bins = chart.edges.length - 1
  if (bins < 1) return null
  const columns = bins + (below ? 1.5 : 0) + (above ? 1.5 : 0)
  const longest = chart.ticks.reduce((most, one) => Math.max(most, one.length), 1)
  const margin = Math.max(35, (longest * LETTER) / 2)     // half of the last tick stands beyond the axis
  const right = chart.unit ? Math.max(35, (longest * LETTER) / 2 + 14 + chart.unit.length * LETTER) : margin
  const wide = (WIDTH - margin - right) / columns
  const left = margin + (below ? 1.5 * wide : 0)
  /** @param {number} value */
  const x = value => left + ((value - chart.edges[0]) / (chart.edges[bins] - chart.edges[0])) * bins * wide
  const floor = TOP + HIGH
  /** @param {number} count */
  const high = count => (HIGH * count) / Math.max(chart.most, 1)
  const parts = [svg("defs", {}, hatch("hatch-first", 45), hatch("hatch-band", -45))]
  if (chart.band) {
    const from = x(chart.band.from), to = Math.max(x(chart.band.to), x(chart.band.from) + 6)
    parts.push(svg("rect", { class: "band", x: from, y: TOP - 42, width: to - from, height: HIGH + 42 }))
    const middle = Math.min(Math.max(x(chart.band.truth), 130), WIDTH - 130)
    parts.push(svg("text", { class: "band-text", x: middle, y: 30 }, chart.band.text))
  }
  /** @type {Written[]} */
  const written = []
  /** @type {(at: number, counts: number[]) => void} */
  const column = (at, counts) => counts.forEach((count, n) => {
    const thick = (0.86 * wide) / counts.length
    const bar_x = at + 0.07 * wide + n * thick
    parts.push(svg("rect", { class: `column column--${which(chart, n)}`, x: bar_x, y: floor - high(count), width: Math.max(thick - 2, 2), height: high(count) }))
    if (count) written.push({ x: bar_x + thick / 2 - 1, y: floor - high(count), text: String(count), count })
  })
  /** @type {Written[]} */
  const marks = [] // along the axis
  for (let k = 0; k < bins; k++) column(left + k * wide, chart.rounds.map(one => one.counts[k]))
  if (below) { column(margin, chart.rounds.map(one => one.below)); marks.push({ x: margin + wide / 2, y: floor + 10, text: "<", count: 0 }) }
  if (above) { column(left + (bins + 0.5) * wide, chart.rounds.map(one => one.above)); marks.push({ x: left + (bins + 1) * wide, y: floor + 10, text: ">", count: 0 }) }
  parts.push(svg("line", { class: "axis", x1: left, x2: left + bins * wide, y1: floor, y2: floor }))
  const every = Math.ceil((longest * LETTER) / wide)
  chart.ticks.forEach((text, k) => {
    if (k % every) return
    parts.push(svg("line", { class: "axis", x1: x(chart.edges[k]), x2: x(chart.edges[k]), y1: floor, y2: floor + 10 }))
    marks.push({ x: x(chart.edges[k]), y: floor + 10, text, count: 0 })
  })
  parts.push(...placed(marks, "tick", BELOW), ...placed(written.sort((a, b) => b.count - a.count), "column-count", ABOVE))
  parts.push(svg("text", { class: "tick tick--unit", x: WIDTH - 8, y: floor + 10 + NEAR + TICK_HIGH }, chart.unit))
  const top = chart.band ? 0 : TOP - 40
  return svg("svg", { class: "columns", viewBox: `0 ${top} ${WIDTH} ${TOP + HIGH + FOOT - top}`, "aria-hidden": "true" }, ...parts)
}

/** @typedef {{ x: number, y: number, text: string, count: number }} Written */

/**
 * Texts above or below their points; what has no room beside the more important ones is left out.
 * @param {Written[]} texts the most important first
 * @param {string} name
 * @param {number} side
 */
const placed = (texts, name, side) => {
  const [letter, height] = side === ABOVE ? [COUNT_LETTER, COUNT_HIGH] : [LETTER, TICK_HIGH]
  const frame = { x: -5, y: 0, width: WIDTH + 10, height: TOP + HIGH + FOOT }
  const wishes = texts.map(({ x, y, text }) => ({ x, y, width: text.length * letter, height, prefer: [side], near: true }))
  return place(wishes, frame, [], []).flatMap((box, k) =>
    box ? [svg("text", { class: name, x: texts[k].x, y: box.y + height }, texts[k].text)] : [])
}

/**
 * @param {string} id
 * @param {number} turn
 */
const hatch = (id, turn) => svg("pattern", { id, width: 12, height: 12, patternUnits: "userSpaceOnUse", patternTransform: `rotate(${turn})` },
  svg("rect", { width: 12, height: 12, class: `${id}-ground` }), svg("rect", { width: 5, height: 12, class: `${id}-line` }))
