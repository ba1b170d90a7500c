// @ts-check
// A surface seen from its side: how it is tilted, how high it stands, where it faces.

import { amount, fitted, svg, tenth } from "./dom.js"
import { SIDE_PX, showsSide } from "./framing.js"

const { wide: WIDE, high: HIGH } = SIDE_PX
const MARGIN = 12

/**
 * Draw the side view of a surface into the lower left corner; nothing where there is no room, or no surface.
 * @param {SVGElement} layer
 * @param {Roof.Store} d
 */
export function drawSide(layer, d) {
  layer.replaceChildren()
  const { mounted } = d.plan
  if (!mounted || !showsSide(d)) return
  const spot = d.current?.spot ?? mounted.spots[0]
  const surface = mounted.surfaces[spot.at[0] - 1]
  const group = svg("g", { class: "side", role: "img", "aria-label": sideText(d, surface) }, layer)
  const left = 8
  const top = d.size.height - HIGH - 28 // px: the line below may need a second row
  svg("rect", { class: "side-sheet", x: left, y: top, width: WIDE, height: HIGH, rx: 6 }, group)
  const { slope, foot, ground, rows } = sideOf(mounted, surface, spot.at[0])
  /** @type {(at: [number, number]) => string} */
  const dot = ([x, y]) => `${tenth(left + x)} ${tenth(top + y)}`
  svg("path", { class: "side-ground", d: `M${dot([6, ground])}H${tenth(left + WIDE - 6)}` }, group)
  svg("path", { class: "side-post", d: `M${dot(slope[0])}V${tenth(top + ground)}M${dot(slope[1])}V${tenth(top + ground)}` }, group)
  for (const [from, to] of rows) svg("path", { class: "side-row", d: `M${dot(from)}L${dot(to)}` }, group)
  const r = 20
  const angle = (surface.tilt * Math.PI) / 180
  svg("path", { class: "side-angle", d: `M${dot([foot[0] + r, foot[1]])}A${r} ${r} 0 0 0 ${dot([foot[0] + r * Math.cos(angle), foot[1] - r * Math.sin(angle)])}M${dot(foot)}h${r + 6}` }, group)
  const text = svg("text", { class: "small start", x: left + 8, y: top + 11 }, group)
  text.textContent = `${surface.letter}${surface.name ? ` ${surface.name}` : ""}`
  svg("text", { class: "small start", x: tenth(left + foot[0] + r + 10), y: tenth(top + foot[1] - 7), text: `${amount(surface.tilt, "°", 2).replace("\u202f", "")}` }, group)
  svg("text", { class: "small start", x: left + 8, y: top + HIGH - 8, text: fitted(d.words.wire.side_foot, { height: amount(surface.height, "m", 2), azimuth: Math.round(surface.azimuth) }) }, group)
}

/** @type {(d: Roof.Store, surface: Roof.Surface) => string} */
function sideText(d, surface) {
  const values = { letter: surface.letter, tilt: Math.round(surface.tilt), azimuth: Math.round(surface.azimuth), height: amount(surface.height, "m", 2) }
  return fitted(d.words.wire.side_text, values)
}

/**
 * The surface from its side, in px of the view: its slope from the lower edge up, the ground, its rows.
 * @param {Roof.Mounted} mounted
 * @param {Roof.Surface} surface
 * @param {number} number from 1
 * @returns {{ slope: [number, number][], foot: [number, number], ground: number, rows: [[number, number], [number, number]][] }}
 */
export function sideOf(mounted, surface, number) {
  const [, top, , height] = surface.box
  const long = height / 1000
  const angle = (surface.tilt * Math.PI) / 180
  const wide = long * Math.cos(angle)
  const tall = surface.height + long * Math.sin(angle)
  const scale = Math.min((WIDE - 2 * MARGIN - 16) / Math.max(wide, 0.1), (HIGH - 46) / Math.max(tall, 0.1))
  const ground = HIGH - 20
  /** A point so many m up the slope. @type {(along: number) => [number, number]} */
  const at = (along) => [MARGIN + along * Math.cos(angle) * scale, ground - (surface.height + along * Math.sin(angle)) * scale]
  /** @type {[[number, number], [number, number]][]} */
  const rows = mounted.rows.filter((row) => row[0].at[0] === number).map(([spot]) => {
    const lower = (top + height - spot.top - spot.height) / 1000
    return [at(lower), at(lower + spot.height / 1000)]
  })
  return { slope: [at(0), at(long)], foot: at(0), ground, rows }
}
