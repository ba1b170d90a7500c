// @ts-check
// A scale of volts with bands and marks on it, as wide as there is room: places along it are shares.

import { el, svg } from "../shared/elements.js"
import { plain } from "../shared/number.js"

const STEPS = [0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500]
const MOST_TICKS = 9
const EDGE = 3 // per cent of the width, on both sides
const LINE = 1.5 // em, from one line of labels to the next
const LOW = 20 // per cent of the width: a label left of its mark has no room there
const BAR = 1.1 // em, how high a band is

/**
 * Round values from 0 on, not too many.
 * @param {number} most
 */
export function ticksOf(most) {
  const step = STEPS.find(one => most / one <= MOST_TICKS) ?? most / MOST_TICKS
  return Array.from({ length: Math.floor(most / step + 1e-9) + 1 }, (_, k) => Number((k * step).toPrecision(6)))
}

/** Where a value stands, in per cent of the width.
 * @type {(value: number, most: number) => number} */
export const placeOf = (value, most) => Math.round(100 * (EDGE + (100 - 2 * EDGE) * Math.min(1, Math.max(0, value / most)))) / 100

/** To which side of its place a label goes, so that it stays within the scale.
 * @param {number} place in per cent */
export const anchorOf = place => (place < 25 ? "start" : place > 75 ? "end" : "middle")

/**
 * Marks as they stand below one another: the greatest first, each label left of its line, so that no line of
 * another runs through it.
 * @param {Sheet.Mark[]} marks
 */
export const rowsOf = marks => marks.toSorted((one, other) => other.at - one.at)

/** @type {(scale: Sheet.Scale) => HTMLElement} */
export function drawScale({ title, most, unit, bands, marks }) {
  const lines = bands.length + marks.length
  const top = LINE * lines + 0.4, low = top + BAR
  /** @param {number} value */
  const at = value => placeOf(value, most)
  const percent = (/** @type {number} */ place) => `${place}%`
  const em = (/** @type {number} */ size) => `${Math.round(100 * size) / 100}em`
  const picture = svg("svg", { class: "scale", width: "100%", height: em(low + 2.2), "aria-hidden": "true" })
  picture.append(svg("rect", { class: "bar", x: percent(EDGE), width: percent(100 - 2 * EDGE), y: em(top), height: em(BAR) }))
  bands.forEach(({ from, to, label }, k) => {
    const left = percent(at(from)), right = percent(at(to)), middle = (at(from) + at(to)) / 2, line = LINE * (k + 1)
    picture.append(
      svg("rect", { class: "band", x: left, width: percent(at(to) - at(from)), y: em(top), height: em(BAR) }),
      svg("text", { class: "label", x: percent(middle), y: em(line - 0.4), "text-anchor": anchorOf(middle) }, label),
      // A bracket over the band, which nothing that is marked crosses.
      svg("line", { class: "bracket", x1: left, x2: right, y1: em(line), y2: em(line) }),
      ...[left, right].map(x => svg("line", { class: "bracket", x1: x, x2: x, y1: em(line), y2: em(line + 0.3) })))
  })
  for (const tick of ticksOf(most)) {
    picture.append(
      svg("line", { class: "tick", x1: percent(at(tick)), x2: percent(at(tick)), y1: em(low), y2: em(low + 0.4) }),
      svg("text", { class: "number", x: percent(at(tick)), y: em(low + 1.6), "text-anchor": "middle" }, plain(tick)))
  }
  rowsOf(marks).forEach(({ at: value, read, kind }, k) => {
    const place = at(value), x = percent(place), line = LINE * (bands.length + k + 1)
    const anchor = marks.length === 1 ? anchorOf(place) : place < LOW ? "start" : "end"
    picture.append(
      svg("line", { class: `mark-line mark-line--${kind}`, x1: x, x2: x, y1: em(marks.length === 1 ? line : line - 1), y2: em(low + 0.4) }),
      svg("text", { class: "read", x, dx: { start: 6, middle: 0, end: -6 }[anchor], y: em(line - 0.25), "text-anchor": anchor }, read))
  })
  const told = marks.map(({ read, label }) => `${read}: ${label}`)
  const spans = bands.map(({ from, to, label }) => `${plain(from)} – ${plain(to)} ${unit}: ${label}`)
  return el("figure", { class: "scale-figure" },
    el("figcaption", { class: "quiet small" }, `${title}, ${unit}`), picture,
    el("ul", { class: "key small" },
      ...marks.map(({ kind }, k) => el("li", { class: `key--${kind}` }, told[k])),
      ...spans.map(text => el("li", { class: "key--band" }, text))))
}
