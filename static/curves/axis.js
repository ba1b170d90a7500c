// @ts-check
// The numbers of an axis: of the round values that the server offers, as many as stand apart on the page.

import { labelSize } from "./labels.js"

const APART = 0.7, LINE = 1.25 // in sizes of the type, as in pvsim/files/figure/plot.py

/** @type {WeakMap<object, Curves.Font>} */
const followed = new WeakMap() // plots, and the type of their numbers

/**
 * The first set whose numbers stand apart.
 * @param {number[][]} sets of values, from the finest
 * @param {{ px: (value: number) => number, text: (value: number) => string }} axis
 * @param {Curves.Font} font
 * @param {boolean} across
 */
export function finest(sets, axis, font, across) {
  const size = font.size ?? 12
  /** @param {number} value */
  const half = (value) => (across ? labelSize([[axis.text(value), ""]], font, size).width / 2 : (LINE * size) / 2)
  const gap = across ? APART * size : 0
  /** @param {number[]} values */
  const apart = (values) => values.every((value, k) =>
    !k || Math.abs(axis.px(value) - axis.px(values[k - 1])) - half(value) - half(values[k - 1]) > gap)
  return sets.find(apart) ?? sets.at(-1)?.slice(0, 1) ?? []
}

/**
 * @param {any} plot
 * @param {any} axis
 * @param {boolean} across
 */
function number(plot, axis, across) {
  const font = followed.get(plot)
  if (!Bokeh.index.find_one_by_id(plot.id)?.el.checkVisibility()) return // one that is hidden keeps an old size
  const length = plot.properties.inner_width.is_unset ? 0 : across ? plot.inner_width : plot.inner_height
  if (!font || length < 20) return
  const { start, end } = across ? plot.x_range : plot.y_range
  const px = (/** @type {number} */ value) => (length * value) / (end - start)
  const text = (/** @type {number} */ value) => String(axis.major_label_overrides.get(value) ?? value)
  const ticks = finest(axis.ticker.tags, { px, text }, font, across)
  if (ticks.join() !== axis.ticker.ticks.join()) axis.ticker.setv({ ticks }, { sync: false })
}

/**
 * Numbers both axes of a figure in this type, and anew whenever their values or the figure's size change.
 * @param {any} plot
 * @param {Curves.Font} font
 */
export function followAxes(plot, font) {
  const fresh = !followed.has(plot)
  followed.set(plot, font)
  for (const [axis, across, size] of [[plot.below[0], true, "inner_width"], [plot.left[0], false, "inner_height"]]) {
    const again = () => number(plot, axis, across)
    again()
    if (!fresh) continue
    axis.ticker.properties.tags.change.connect(again)
    plot.properties[size].change.connect(again)
  }
}
