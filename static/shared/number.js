// @ts-check
// Numbers as the page writes them, and as people write them into its fields.

const MINUS = "\u2212"

/** The decimal mark of the page. */
const mark = () => document.documentElement.dataset.decimal || "."

/**
 * A number as a script writes it, with the decimal mark of the page and a true minus sign.
 * @param {string | number} text
 */
export const written = text => String(text).replace("-", MINUS).replace(".", mark())

/**
 * The same for a field, where the minus is the one of the keyboard.
 * @param {string | number} text
 */
export const writable = text => String(text).replace(".", mark())

/**
 * A rounded number without zeros at its end.
 * @param {number} value
 * @param {number} [digits] that count
 */
export const plain = (value, digits = 3) => written(Number(value.toPrecision(digits)))

/**
 * The number a text begins with, perhaps followed by its unit; NaN where there is none.
 * @param {unknown} text
 */
export const leading = text => Number(/^\s*[+-]?[\d.]+/.exec(String(text).replace(",", ".").replace(MINUS, "-"))?.[0] ?? NaN)
