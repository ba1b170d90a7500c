// Small helpers: elements, numbers, the words of the page, places.

const SVG = "http://www.w3.org/2000/svg"
const MINUS = "\u2212"
const NARROW = "\u202f"

/** A new SVG element with its attributes, appended to `parent` when there is one. */
export function svg(name, attributes = {}, parent = null) {
  return fill(document.createElementNS(SVG, name), attributes, parent)
}

/** A new HTML element; the attribute `text` becomes its text. */
export function html(name, attributes = {}, parent = null) {
  return fill(document.createElement(name), attributes, parent)
}

function fill(element, attributes, parent) {
  for (const [key, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue
    if (key === "text") element.textContent = value
    else element.setAttribute(key, value === true ? "" : value)
  }
  if (parent) parent.appendChild(element)
  return element
}

/** Set an attribute only when it differs, so that an update touches what changed and no more. */
export function put(element, name, value) {
  const old = element.getAttribute(name)
  if (value === null || value === false) {
    if (old !== null) element.removeAttribute(name)
  } else if (old !== String(value)) element.setAttribute(name, value)
}

/** Set the text of an element only when it differs. */
export function write(element, text) {
  if (element.textContent !== text) element.textContent = text
}

/** A number as a script writes it, with the decimal mark of the page. */
export function written(text) {
  return String(text).replace("-", MINUS).replace(".", document.documentElement.dataset.decimal || ".")
}

/** A number with about `digits` significant figures and a true minus sign. */
export function number(value, digits = 3) {
  if (!Number.isFinite(value)) return "–"
  const size = Math.abs(value)
  if (size < 5e-4) return "0"
  const decimals = Math.min(3, Math.max(0, digits - 1 - Math.floor(Math.log10(size))))
  const shown = size.toFixed(decimals)
  return (value < 0 && Number(shown) !== 0 ? MINUS : "") + written(shown)
}

/** A rounded number without zeros at its end, for scales. */
export function plain(value) {
  return written(Number(value.toPrecision(3)))
}

/** A number with its unit behind a narrow space. */
export function amount(value, unit, digits = 3) {
  return number(value, digits) + NARROW + unit
}

/** Give an element the keys, and bring it into sight where the page is longer than the screen. */
export function keysTo(element) {
  element?.focus({ preventScroll: true })
  element?.scrollIntoView({ block: "nearest", inline: "nearest" })
}

const SPELT = {
  "%": ["%", "percent", "per cent", "prozent"], "\u03a9": ["\u03c9", "\u2126", "ohm", "ohms"],
  "\u00b0": ["\u00b0", "deg", "degree", "degrees", "grad"], m: ["m", "metre", "metres", "meter"],
}

/** The number somebody typed, with decimal point or comma, with or without the unit; NaN when it is none. */
export function typed(text, unit = "") {
  const plain = String(text).trim().replace(MINUS, "-").replace(",", ".").toLowerCase()
  const [, number, tail] = /^([+-]?(?:\d+\.?\d*|\.\d+))\s*(.*)$/.exec(plain) ?? []
  return number !== undefined && (!tail || SPELT[unit]?.includes(tail)) ? Number(number) : NaN
}

/** Fill the {holes} of a text. */
export function fitted(text, values = {}) {
  return text.replace(/\{(\w+)\}/g, (hole, key) => (key in values ? values[key] : hole))
}

/** Bytes from base64. */
export function bytes(text) {
  const raw = atob(text)
  const out = new Uint8Array(raw.length)
  for (let i = 0; i < raw.length; i++) out[i] = raw.charCodeAt(i)
  return out
}

/** Whole numbers of 16 bits, little-endian, from base64. */
export function shorts(text) {
  return new Int16Array(bytes(text).buffer)
}

/** The key of a place, the way people write it: "2/5/14", "2/5/d3", "2/5/s3", "2/5", "2", "array". */
export function placeKey(place) {
  if (!place || !place.string) return "array"
  if (!place.module) return `${place.string}`
  const head = `${place.string}/${place.module}`
  if (place.cell) return `${head}/${place.cell}`
  if (place.diode) return `${head}/d${place.diode}`
  if (place.substring) return `${head}/s${place.substring}`
  return head
}

/** A length on the drawing, to a tenth: finer is not seen. */
export const tenth = (value) => Math.round(value * 10) / 10

export const clamp = (value, least, most) => Math.min(most, Math.max(least, value))
