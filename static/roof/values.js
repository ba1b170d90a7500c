// @ts-check
// The figures in the cells of a module seen from near: which are told, where, and in which ink.

import { put, svg, write, written } from "./dom.js"
import { shade, table } from "./scales.js"

const HOT_C = 85 // HOT_K of pvsim/array/heat.py: from here on a temperature is known to tens alone
const LEAST_LARGE_PX = 15 // what is read from the back of a room
const CHAIN = 1 / 3 // of a substring: so many alike are one of its chains beside the other, and one of them tells

/**
 * The text of a value in a cell: short enough for a small cell.
 * @param {Roof.Quantity} quantity
 * @param {number} value
 */
export function valueText(quantity, value) {
  if (quantity === "temperature" && value >= HOT_C) return `≈${Math.round(value / 10) * 10}`
  if (quantity === "irradiance") return value.toFixed(0)
  const size = Math.abs(value)
  let decimals
  if (quantity === "voltage") decimals = size < 10 ? 2 : 1
  else if (quantity === "power") decimals = size < 10 ? 1 : 0
  else decimals = size < 100 ? 1 : 0
  const shown = value.toFixed(decimals)
  return written(Number(shown) === 0 ? (0).toFixed(decimals) : shown)
}

/** Whether the current runs from left to right through the cells of this module, as it is drawn.
 * @param {Roof.Shape} shape */
const runsAcross = ({ cells }) => cells.length > 4 && Math.abs(cells[1] - cells[5]) < Math.abs(cells[0] - cells[4])

/**
 * A text in every cell large enough.
 * @param {SVGElement} layer
 * @param {Roof.Store} view
 * @param {Roof.Module} module
 * @param {Roof.Part | null} only the substring that is shown alone
 * @returns {Roof.Values | null} null when cells are too small
 */
export function drawValues(layer, view, module, only) {
  layer.replaceChildren()
  const { camera, typeScale: type } = view
  const { shape } = module
  const width = shape.cells[2] * camera.scale, height = shape.cells[3] * camera.scale
  const fitting = Math.min(15 * type, width * 0.34, height * 0.62)
  const sparse = type > 1 && fitting < LEAST_LARGE_PX
  if (fitting < 7.4 && !sparse) return null
  const font = sparse ? LEAST_LARGE_PX : fitting
  const numbered = width >= 40 && height >= 38
  const below = runsAcross(shape) ? 0.24 : 0 // a dash of current beside a figure reads as a minus
  const small = Math.min(10.5 * type, font * 0.72).toFixed(1)
  /** @type {Roof.Values["cells"]} */
  const cells = new Map()
  for (let local = 0; local < module.cells; local++) {
    if (only && (local < only.first || local >= only.first + only.count)) continue
    const at = local * 4
    const x = (module.left + shape.cells[at] + shape.cells[at + 2] / 2) * camera.scale + camera.x
    const y = (module.top + shape.cells[at + 1] + shape.cells[at + 3] / 2) * camera.scale + camera.y
    const text = svg("text", { class: "value", x: x.toFixed(1), y: (y + below * height).toFixed(1), "font-size": font.toFixed(1) }, layer)
    const number = numbered
      ? svg("text", { class: "cell-number", x: (x - width / 2 + 5).toFixed(1), y: (y - height / 2 + 6).toFixed(1), "font-size": small, text: String(local + 1) }, layer)
      : null
    // Left to go down, to make way for a broken cell's sign.
    cells.set(local, { text, number, x, y, room: below ? 0 : height, worn: "", ink: "" })
  }
  return { font, cells }
}

/** The middle one of some values.
 * @param {number[]} values */
function middleOf(values) {
  return [...values].sort((a, b) => a - b)[values.length >> 1]
}

/**
 * Which cells tell their figure, as sixty equal ones tell nothing: those that differ from most of their substring,
 * the farthest off first, but one of many that differ alike; one of a substring that differs from most of the
 * module, the cell in focus and the one pointed at; as far as none covers another.
 * @param {{ font: number, cells: Map<number, { x: number, y: number }> }} texts by cell of the module, from 0
 * @param {Pick<Roof.Part, "first" | "count">[]} substrings
 * @param {number[]} pointed cells that somebody asks for
 * @param {{ value(local: number): number, text(local: number): string, textOf(value: number): string }} said
 */
export function telling({ font, cells }, substrings, pointed, said) {
  const most = said.textOf(middleOf([...cells.keys()].map(said.value)))
  /** @type {[weight: number, local: number][]} */
  const wanted = pointed.filter((local) => cells.has(local)).map((local) => [Infinity, local])
  for (const { first, count } of substrings) {
    const locals = Array.from({ length: count }, (_, k) => first + k).filter((local) => cells.has(local))
    if (!locals.length) continue
    const usual = middleOf(locals.map(said.value))
    const common = said.textOf(usual)
    /** @type {Map<string, number[]>} */
    const alike = new Map()
    for (const local of locals) {
      const text = said.text(local)
      alike.set(text, [...alike.get(text) ?? [], local])
    }
    const middle = locals.find((local, k) => k >= locals.length >> 1 && said.text(local) === common)
    if (common !== most && middle !== undefined) wanted.push([0, middle])
    alike.delete(common)
    for (const those of alike.values()) {
      const one = those.length > locals.length * CHAIN ? [those[those.length >> 1]] : those
      for (const local of one) if (!pointed.includes(local)) wanted.push([Math.abs(said.value(local) - usual), local])
    }
  }
  /** @type {Set<number>} */
  const shown = new Set()
  /** @type {{ x: number, y: number, half: number }[]} */
  const boxes = []
  for (const [, local] of wanted.sort((a, b) => b[0] - a[0])) {
    const { x, y } = /** @type {{ x: number, y: number }} */ (cells.get(local))
    const half = said.text(local).length * font * 0.33
    if (boxes.some((one) => Math.abs(one.y - y) < font && Math.abs(one.x - x) < half + one.half)) continue
    boxes.push({ x, y, half })
    shown.add(local)
  }
  return shown
}

/** A cell that a place names, by its number in this module from 0; -1 where it lies elsewhere.
 * @type {(place: Roof.Place | undefined, module: Roof.Module) => number} */
function cellIn(place, module) {
  return place?.cell && place.string === module.string && place.module === module.number ? place.cell - 1 : -1
}

/**
 * Write the values and choose their ink by the colour beneath.
 * @param {Roof.Values | null} texts
 * @param {Roof.Store} view
 * @param {Roof.Module} module
 */
export function updateValues(texts, view, module) {
  if (!texts) return
  const { scale } = view.now
  const { colours, darkInk } = table(scale.kind, view.theme)
  /** @param {number} value */
  const textOf = (value) => valueText(view.quantity, value)
  /** @param {number} local */
  const value = (local) => view.value(module.cell + local)
  const pointed = [view.focus.cell ? view.focus.cell - 1 : -1, cellIn(view.pointed?.place, module)]
  const shown = telling(texts, module.shape.substrings, pointed, { value, textOf, text: (local) => textOf(value(local)) })
  for (const [local, one] of texts.cells) {
    const { text, number, room } = one
    text.style.display = shown.has(local) ? "" : "none"
    put(text, "dy", view.broken.has(module.cell + local) ? (room * 0.26).toFixed(1) : null)
    write(text, textOf(value(local)))
    const at = shade(scale, value(local))
    const worn = `${view.theme} ${at}`
    if (one.worn !== worn) {
      one.worn = worn
      text.style.stroke = colours[at] // lines of current pass behind the figures
    }
    const ink = darkInk[at] ? "dark" : "light"
    if (one.ink !== ink) {
      one.ink = ink
      text.setAttribute("class", `value ${ink}`)
      number?.setAttribute("class", `cell-number ${ink}`)
    }
  }
}
