// @ts-check
// Colours, type and borders of the canvases.

import { followAxes } from "./axis.js"
import { labelSize } from "./labels.js"

const TICK_TYPE_PX = 12
const SIDE_PX = 42 // borders of a figure, at the usual size of type; more where its numbers are wider
const STANDOFF_PX = 8 // of an axis's numbers from the frame
export const HIGH_PX = 20 // the same, above
export const LOW_PX = 34 // and below

/** A value of the theme.
 * @type {(styles: CSSStyleDeclaration, name: string, fallback: string) => string} */
const token = (styles, name, fallback) => styles.getPropertyValue(name).trim() || fallback

/** All of the theme that the canvases take over; with others they are dressed anew.
 * @param {Element} board */
export function dressing(board) {
  const styles = getComputedStyle(board)
  return [styles.color, styles.fontFamily, token(styles, "--type-scale", "1"), token(styles, "--stroke", "2"), token(styles, "--curve-i", "")].join()
}

/** The numbers beside these figures.
 * @param {{ model: any }[]} figures
 * @returns {string[]} */
export const sideNumbers = (figures) => figures.flatMap(({ model }) => [...model.left[0].major_label_overrides.values()].map(String))

/** The border that all figures have beside them, so that the same voltage stands at the same place in each, in px.
 * @param {string[]} numbers that have to fit there
 * @param {Curves.Font} font
 */
export const sideBorder = (numbers, font) => Math.ceil(numbers.reduce(
  (most, text) => Math.max(most, labelSize([[text, ""]], font, font.size ?? TICK_TYPE_PX).width + STANDOFF_PX), SIDE_PX * font.k))

/**
 * Bokeh draws on canvas, where style sheets do not reach: colours, type and borders are handed over.
 * @param {{ name: Curves.Kind, kind: string, model: any }[]} figures
 * @param {Element} board
 * @param {Curves.Kind} lowest
 * @param {boolean} twin
 * @returns {Curves.Font}
 */
export function restyle(figures, board, lowest, twin) {
  const styles = getComputedStyle(board)
  const k = parseFloat(token(styles, "--type-scale", "1")) || 1
  const stroke = parseFloat(token(styles, "--stroke", "2")) || 2
  const ink = token(styles, "--ink-2", "#52606B"), rule = token(styles, "--rule", "#D3D9D6")
  const font = { family: styles.fontFamily, size: 12.5 * k, weight: 600, k }
  const numbers = { family: font.family, size: TICK_TYPE_PX * k, weight: 400, k }
  const side = sideBorder(sideNumbers(figures), numbers)
  const quiet = { sync: false }
  for (const { model, kind, name } of figures) {
    const colour = token(styles, kind === "power" ? "--curve-p" : "--curve-i", "#0072B2")
    const low = name === lowest
    const over = twin && name === "power" // lies over the other figure and has its axis on the right
    model.setv({
      min_border_left: side, min_border_right: twin ? side : 12, min_border_top: Math.round(HIGH_PX * k),
      min_border_bottom: low || twin ? Math.round(LOW_PX * k) : 8,
    }, quiet)
    const shown = [[model.below[0], twin ? !over : low], [model.left[0], !over], ...model.right.map((/** @type {any} */ axis) => [axis, over])]
    for (const [axis, visible] of shown) {
      axis.setv({
        visible, major_label_text_color: twin && axis !== model.below[0] ? colour : ink, major_label_text_font: font.family,
        major_label_text_font_size: `${Math.round(TICK_TYPE_PX * k)}px`, axis_line_color: axis === model.below[0] ? rule : null,
        major_tick_line_color: axis === model.below[0] ? rule : null,
      }, quiet)
    }
    followAxes(model, numbers)
    for (const part of model.center) {
      if (part.type === "Grid") part.setv({ grid_line_color: over ? null : rule, grid_line_alpha: 0.55 }, quiet)
      else if (part.type === "Span") part.setv({ line_color: ink, line_alpha: 0.7 }, quiet)
    }
    for (const renderer of model.renderers) {
      const [what] = (renderer.name || "").split(" ")
      if (what === "now") renderer.glyph.setv({ line_color: colour, line_width: stroke * 1.15 }, quiet)
      else if (what === "before") renderer.glyph.setv({ line_color: token(styles, "--before", "#8A949B"), line_width: stroke * 0.8 }, quiet)
      else if (what === "part") renderer.glyph.setv({ line_width: stroke * 0.75 }, quiet)
      else if (what === "area") renderer.glyph.setv({ fill_color: colour }, quiet)
    }
  }
  return font
}
