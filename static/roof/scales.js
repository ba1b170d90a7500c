// @ts-check
// From a value to a colour. Separate sets for the light and the dark page; all of them hold for
// the usual kinds of colour blindness: one hue by lightness, blue against orange, and cividis
// (J. R. Nuñez et al., PLOS ONE 13 (2018) e0199239) for heat.

const STOPS = {
  light: {
    glass: ["#0a0e13", "#12202f", "#193350", "#224a74", "#2c5e93", "#3873b2"],
    signed: ["#6b2500", "#a8480b", "#d97f37", "#efbb8a", "#f3efe8", "#a3c7e2", "#4e92c5", "#226699", "#0e426f"],
    heat: ["#00224e", "#233e6c", "#575c6d", "#828079", "#b2a470", "#e4cf5b", "#fee838"],
  },
  dark: {
    glass: ["#04070a", "#0c1926", "#142d47", "#1d446b", "#295c90", "#3772b0"],
    signed: ["#ffc38f", "#ee9247", "#b9601c", "#6a3a18", "#2b3034", "#21465f", "#2a648f", "#3580b8", "#8cc4f2"],
    heat: ["#00224e", "#233e6c", "#575c6d", "#828079", "#b2a470", "#e4cf5b", "#fee838"],
  },
}
const SHADES = 256

/** @param {string} hex */
function channels(hex) {
  return [1, 3, 5].map((at) => parseInt(hex.slice(at, at + 2), 16))
}

/** @param {number[]} channels */
function lightness([r, g, b]) {
  const linear = [r / 255, g / 255, b / 255].map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4))
  return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
}

/** @typedef {{ colours: string[], darkInk: boolean[] }} Table */

/** @type {Map<string, Table>} */
const tables = new Map()

/**
 * 256 colours of a scale, and for each whether dark ink is the readable one on it.
 * @param {Roof.Scale["kind"]} kind
 * @param {Roof.Theme} theme
 * @returns {Table}
 */
export function table(kind, theme) {
  const key = `${kind} ${theme}`
  let found = tables.get(key)
  if (!found) {
    const stops = STOPS[theme === "dark" ? "dark" : "light"][kind].map(channels)
    /** @type {string[]} */
    const colours = []
    /** @type {boolean[]} */
    const darkInk = []
    for (let i = 0; i < SHADES; i++) {
      const at = (i / (SHADES - 1)) * (stops.length - 1)
      const low = Math.min(stops.length - 2, Math.floor(at))
      const mixed = stops[low].map((c, k) => c + (stops[low + 1][k] - c) * (at - low))
      colours.push(`rgb(${mixed.map(Math.round).join(",")})`)
      darkInk.push(lightness(mixed) > 0.183) // white ink as long as it has 4.5 : 1
    }
    found = { colours, darkInk }
    tables.set(key, found)
  }
  return found
}

/**
 * Where a value lies on a scale, 0 to 255; a signed scale has its own measure on each side of 0.
 * @param {Pick<Roof.Scale, "kind" | "low" | "high">} scale
 * @param {number} value
 */
export function shade(scale, value) {
  const { low, high } = scale
  let t
  if (scale.kind === "signed") t = value < 0 ? 0.5 - (0.5 * value) / Math.min(low, -1e-9) : 0.5 + (0.5 * value) / high
  else t = (value - low) / (high - low || 1)
  return Math.round(Math.min(1, Math.max(0, t)) * (SHADES - 1))
}

/**
 * A gradient for the legend, as CSS.
 * @param {Roof.Scale["kind"]} kind
 * @param {Roof.Theme} theme
 */
export function gradient(kind, theme) {
  const { colours } = table(kind, theme)
  const picked = [0, 32, 64, 96, 127, 160, 192, 224, 255].map((i) => `${colours[i]} ${(i / 2.55).toFixed(1)}%`)
  return `linear-gradient(90deg, ${picked.join(", ")})`
}
