// @ts-check
// Modules and their cells as elements, made once for a scene; an update touches only what changed.

import { put, svg } from "./dom.js"
import { shade, table } from "./scales.js"

/** Corners cut off as silicon wafers have them, by the bits of `cut`: 1 top left, then clockwise.
 * @type {(x: number, y: number, w: number, h: number, cut: number) => string} */
function outline(x, y, w, h, cut) {
  const c = Math.min(w, h) * (w > 1.5 * h || h > 1.5 * w ? 0.17 : 0.085)
  /** @param {number} v */
  const n = (v) => Math.round(v * 10) / 10
  const [a, b, d, e] = [1, 2, 4, 8].map((bit) => (cut & bit ? c : 0))
  let path = `M${n(x + a)} ${n(y)}H${n(x + w - b)}`
  if (b) path += `l${n(b)} ${n(b)}`
  path += `V${n(y + h - d)}`
  if (d) path += `l${n(-d)} ${n(d)}`
  path += `H${n(x + e)}`
  if (e) path += `l${n(-e)} ${n(-e)}`
  return `${path}V${n(y + a)}z`
}

/**
 * The elements of all modules under `parent`; cells too, unless there are too many of them.
 * @param {Element} parent
 * @param {Roof.Plan} plan
 * @param {boolean} whole whether all cells are drawn
 * @returns {Roof.Store["tiles"]}
 */
export function makeTiles(parent, plan, whole) {
  const groups = plan.modules.map((module) => {
    /** @type {Roof.Tile["marks"]} */
    const marks = new Map()
    const group = svg("g", { class: "module", transform: `translate(${module.left} ${module.top})` }, parent)
    svg("rect", { class: "frame", width: module.width, height: module.height, rx: 9 }, group)
    const tile = whole ? null : svg("rect", { class: "tile", x: 14, y: 14, width: module.width - 28, height: module.height - 28 }, group)
    const hatch = tile && svg("rect", { class: "hatch", x: 14, y: 14, width: module.width - 28, height: module.height - 28, display: "none" }, group)
    return { module, group, tile, hatch, overlay: null, cells: null, rows: null, colour: null, marks }
  })
  const state = { groups, plan, whole }
  if (whole) for (const one of groups) fillCells(one)
  return state
}

/** Make the cells of one module, row by row as the eye reads them.
 * @param {Roof.Tile} one */
export function fillCells(one) {
  if (one.cells) return
  const { shape } = one.module
  const box = svg("g", { class: "cells" }, one.group)
  /** @type {SVGElement[]} */
  const cells = []
  one.cells = cells
  one.colour = new Int16Array(one.module.cells).fill(-1)
  one.rows = shape.rows.map((locals) => {
    const row = svg("g", { class: "cell-row" }, box)
    for (const local of locals) {
      const at = local * 4
      const [x, y, w, h] = shape.cells.slice(at, at + 4)
      const d = outline(x, y, w, h, parseInt(shape.cuts[local], 16))
      cells[local] = svg("path", { class: "cell", d }, row)
    }
    return row
  })
  one.box = box
  one.overlay = svg("g", { class: "marks", "aria-hidden": "true" }, one.group)
  for (const plain of [one.tile, one.hatch]) if (plain) plain.style.display = "none"
}

/** Take the cells of a module away again (large arrays keep only those in view).
 * @param {Roof.Tile} one */
export function dropCells(one) {
  if (!one.cells) return
  one.box?.remove()
  one.overlay?.remove()
  one.cells = one.rows = one.colour = null
  one.marks.clear()
  for (const plain of [one.tile, one.hatch]) if (plain) plain.style.display = ""
}

/**
 * Colour the cells of a module.
 * @param {Roof.Tile} one
 * @param {Roof.Scale} scale
 * @param {Roof.Theme} theme
 * @param {(cell: number) => number} value gives the quantity by index over the array
 */
export function colourCells(one, scale, theme, value) {
  const { colours, darkInk } = table(scale.kind, theme)
  one.darkInk = darkInk
  const { cells, colour } = one
  if (!cells || !colour) return
  const fresh = one.painted !== `${scale.kind} ${theme}`
  one.painted = `${scale.kind} ${theme}`
  for (let local = 0; local < cells.length; local++) {
    const at = shade(scale, value(one.module.cell + local))
    if (fresh || colour[local] !== at) {
      colour[local] = at
      cells[local].style.fill = colours[at]
    }
  }
}

/**
 * Colour a module drawn as one tile; hatched when some of its cells eat power.
 * @param {Roof.Tile} one
 * @param {Roof.Scale} scale
 * @param {Roof.Theme} theme
 * @param {number} value
 * @param {boolean} eats
 */
export function colourTile(one, scale, theme, value, eats) {
  if (one.tile) one.tile.style.fill = table(scale.kind, theme).colours[shade(scale, value)]
  if (one.hatch) put(one.hatch, "display", eats ? null : "none")
}

/**
 * Show exactly these marks on a cell, drawn over its outline.
 * @param {Roof.Tile} one
 * @param {number} local the cell, in its module from 0
 * @param {string[]} wanted names of classes
 */
export function markCell(one, local, wanted) {
  const key = wanted.join(" ")
  const old = one.marks.get(local)
  if ((old?.key ?? "") === key) return
  old?.group.remove()
  one.marks.delete(local)
  if (!key) return
  const group = svg("g", { class: wanted.includes("on-light") ? "on-light" : "" }, one.overlay)
  const d = one.cells?.[local].getAttribute("d") ?? ""
  const [x, y, w, h] = one.module.shape.cells.slice(local * 4, local * 4 + 4)
  for (const name of wanted) drawMark(group, name, d, x, y, w, h)
  one.marks.set(local, { key, group })
}

/** Where a fault's sign stands in its cell; the value below it makes room. */
export const GLYPH_HEIGHT = 0.34

/** @type {Record<string, (x: number, y: number, r: number) => string>} */
const GLYPHS = {
  "cell-open": (x, y, r) => `M${x - r} ${y - r}L${x + r} ${y + r}M${x + r} ${y - r}L${x - r} ${y + r}`,
  "cell-short": (x, y, r) => `M${x} ${y - 1.25 * r}V${y + 1.25 * r}M${x - r * 0.6} ${y - 1.25 * r}H${x + r * 0.6}M${x - r * 0.6} ${y + 1.25 * r}H${x + r * 0.6}`,
  "cell-cracked": (x, y, r) => `M${x - 1.3 * r} ${y - r}L${x - 0.4 * r} ${y + 0.1 * r}L${x + 0.2 * r} ${y - 0.5 * r}L${x + 1.3 * r} ${y + r}`,
  "cell-shunt": (x, y, r) => `M${x - r} ${y}H${x - 0.5 * r}M${x - 0.5 * r} ${y - 0.8 * r}H${x + 0.5 * r}V${y + 0.8 * r}H${x - 0.5 * r}zM${x + 0.5 * r} ${y}H${x + r}`,
  "cell-resistive": (x, y, r) => zigzag(x, y, r),
  "ribbon-broken": (x, y, r) => `M${x} ${y - 1.3 * r}V${y - 0.35 * r}M${x} ${y + 0.35 * r}V${y + 1.3 * r}M${x - 0.55 * r} ${y - 0.1 * r}L${x + 0.55 * r} ${y - 0.6 * r}M${x - 0.55 * r} ${y + 0.6 * r}L${x + 0.55 * r} ${y + 0.1 * r}`,
  soiling: (x, y, r) => [[-0.8, -0.5], [0.1, 0.3], [0.8, -0.7], [-0.4, 0.8], [0.9, 0.7]].map(([a, b]) => `M${x + a * r} ${y + b * r}h.1`).join(""),
}

/** A resistor as a zigzag.
 * @type {(x: number, y: number, r: number) => string} */
export function zigzag(x, y, r) {
  return `M${x - 1.3 * r} ${y}h${0.3 * r}l${0.2 * r} ${-0.6 * r}${`l${0.4 * r} ${1.2 * r}l${0.4 * r} ${-1.2 * r}`.repeat(2)}l${0.2 * r} ${0.6 * r}h${0.3 * r}`
}

/** @type {(group: Element, name: string, d: string, x: number, y: number, w: number, h: number) => void} */
function drawMark(group, name, d, x, y, w, h) {
  const r = Math.min(w, h) * 0.2
  if (name === "eats") {
    svg("path", { class: "hatch", d }, group)
    svg("path", { class: "eats", d: `M${x + w - 2.4 * r} ${y + 0.5 * r}h${1.8 * r}l${-0.9 * r} ${1.15 * r}z` }, group)
  } else if (name === "shaded") svg("path", { class: "veil", d }, group)
  else if (GLYPHS[name]) {
    const glyph = GLYPHS[name](x + w / 2, y + h * GLYPH_HEIGHT, r)
    svg("path", { class: `glyph halo`, d: glyph }, group)
    svg("path", { class: `glyph ${name}`, d: glyph }, group)
  }
}
