// @ts-check
// Small helpers: elements, numbers, the words of the page, places.

/** @typedef {Record<string, string | number | boolean | null | undefined>} Attributes */

const SVG = "http://www.w3.org/2000/svg"
const MINUS = "\u2212"
const NARROW = "\u202f"

/**
 * A new SVG element with its attributes, appended to `parent` when there is one.
 * @template {keyof SVGElementTagNameMap} K
 * @param {K} name
 * @param {Attributes} [attributes]
 * @param {Element | null} [parent]
 * @returns {SVGElementTagNameMap[K]}
 */
export function svg(name, attributes = {}, parent = null) {
  return fill(document.createElementNS(SVG, name), attributes, parent)
}

/**
 * A new HTML element; the attribute `text` becomes its text.
 * @template {keyof HTMLElementTagNameMap} K
 * @param {K} name
 * @param {Attributes} [attributes]
 * @param {Element | null} [parent]
 * @returns {HTMLElementTagNameMap[K]}
 */
export function html(name, attributes = {}, parent = null) {
  return fill(document.createElement(name), attributes, parent)
}

/**
 * @template {Element} T
 * @param {T} element
 * @param {Attributes} attributes
 * @param {Element | null} parent
 * @returns {T}
 */
function fill(element, attributes, parent) {
  for (const [key, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue
    if (key === "text") element.textContent = String(value)
    else element.setAttribute(key, value === true ? "" : String(value))
  }
  if (parent) parent.appendChild(element)
  return element
}

/**
 * Set an attribute only when it differs, so that an update touches what changed and no more.
 * @param {Element} element
 * @param {string} name
 * @param {string | number | boolean | null} value
 */
export function put(element, name, value) {
  const old = element.getAttribute(name)
  if (value === null || value === false) {
    if (old !== null) element.removeAttribute(name)
  } else if (old !== String(value)) element.setAttribute(name, String(value))
}

/**
 * Set the text of an element only when it differs.
 * @param {Element} element
 * @param {string | null} text
 */
export function write(element, text) {
  if (element.textContent !== text) element.textContent = text
}

/**
 * A number as a script writes it, with the decimal mark of the page.
 * @param {string | number} text
 */
export function written(text) {
  return String(text).replace("-", MINUS).replace(".", document.documentElement.dataset.decimal || ".")
}

/**
 * A number with about `digits` significant figures and a true minus sign.
 * @param {number} value
 * @param {number} [digits]
 */
export function number(value, digits = 3) {
  if (!Number.isFinite(value)) return "–"
  const size = Math.abs(value)
  if (size < 5e-4) return "0"
  const decimals = Math.min(3, Math.max(0, digits - 1 - Math.floor(Math.log10(size))))
  const shown = size.toFixed(decimals)
  return (value < 0 && Number(shown) !== 0 ? MINUS : "") + written(shown)
}

/**
 * A rounded number without zeros at its end, for scales.
 * @param {number} value
 */
export function plain(value) {
  return written(Number(value.toPrecision(3)))
}

/**
 * A number with its unit behind a narrow space.
 * @param {number} value
 * @param {string} unit
 * @param {number} [digits]
 */
export function amount(value, unit, digits = 3) {
  return number(value, digits) + NARROW + unit
}

/**
 * Give an element the keys, and bring it into sight where the page is longer than the screen.
 * @param {HTMLElement | SVGElement | null | undefined} element
 */
export function keysTo(element) {
  element?.focus({ preventScroll: true })
  element?.scrollIntoView({ block: "nearest", inline: "nearest" })
}

/** @type {Record<string, string[]>} */
const SPELT = {
  "%": ["%", "percent", "per cent", "prozent"], "\u03a9": ["\u03c9", "\u2126", "ohm", "ohms"],
  "\u00b0": ["\u00b0", "deg", "degree", "degrees", "grad"], m: ["m", "metre", "metres", "meter"],
}

/**
 * The number somebody typed, with decimal point or comma, with or without the unit; NaN when it is none.
 * @param {unknown} text
 * @param {string} [unit]
 */
export function typed(text, unit = "") {
  const plain = String(text).trim().replace(MINUS, "-").replace(",", ".").toLowerCase()
  const [, number, tail] = /^([+-]?(?:\d+\.?\d*|\.\d+))\s*(.*)$/.exec(plain) ?? []
  return number !== undefined && (!tail || SPELT[unit]?.includes(tail)) ? Number(number) : NaN
}

/**
 * Fill the {holes} of a text.
 * @param {string} text
 * @param {Record<string, string | number>} [values]
 */
export function fitted(text, values = {}) {
  return text.replace(/\{(\w+)\}/g, (hole, key) => (key in values ? String(values[key]) : hole))
}

/**
 * Bytes from base64.
 * @param {string} text
 */
export function bytes(text) {
  const raw = atob(text)
  const out = new Uint8Array(raw.length)
  for (let i = 0; i < raw.length; i++) out[i] = raw.charCodeAt(i)
  return out
}

/**
 * Whole numbers of 16 bits, little-endian, from base64.
 * @param {string} text
 */
export function shorts(text) {
  return new Int16Array(bytes(text).buffer)
}

/**
 * The key of a place, the way people write it: "2/5/14", "2/5/d3", "2/5/s3", "2/5", "2", "array".
 * @param {Roof.Place | null | undefined} place
 */
export function placeKey(place) {
  if (!place || !place.string) return "array"
  if (!place.module) return `${place.string}`
  const head = `${place.string}/${place.module}`
  if (place.cell) return `${head}/${place.cell}`
  if (place.diode) return `${head}/d${place.diode}`
  if (place.substring) return `${head}/s${place.substring}`
  return head
}

/**
 * A length on the drawing, to a tenth: finer is not seen.
 * @param {number} value
 */
export const tenth = (value) => Math.round(value * 10) / 10

/** @type {(value: number, least: number, most: number) => number} */
export const clamp = (value, least, most) => Math.min(most, Math.max(least, value))
