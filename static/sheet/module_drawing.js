// @ts-check
// A module cell by cell: what is joined to what, where each substring ends, and whether its diode gets there.
// All in mm, as the shape has it.

import { svg } from "../shared/elements.js"

const RAIL_mm = 60 // how far beyond an edge of the module its box is drawn
const NEAR_mm = 60 // so near to the rail a node needs no wire through the module
const KINDS = 3 // of hatching, one substring beside the other

/** @param {string} path "M0 0L10 0" */
export const pointsOf = path => path.slice(1).split("L").map(one => /** @type {[number, number]} */ (one.split(" ").map(Number)))

/** @typedef {Pick<Sheet.Way, "shape" | "boxes" | "reaches">} Joined */
/** @typedef {{ node: [number, number], at: [number, number], far: boolean }} End where a chain ends, and where its box is */

/**
 * The line on which the box stands: across the module, or along an edge of it.
 * @param {Joined} way
 * @returns {{ upright: boolean, at: number, inside: boolean }}
 */
export function boxLine({ shape, boxes, reaches }) {
  const y = boxes[0][1]
  if (y > 0.2 * shape.height && y < 0.8 * shape.height) return { upright: false, at: y, inside: true }
  const side = reaches ? shape.rail : "top"
  const upright = side === "left" || side === "right"
  const size = upright ? shape.width : shape.height
  return { upright, at: side === "right" || side === "bottom" ? size + RAIL_mm : -RAIL_mm, inside: false }
}

/**
 * From the ends of each substring's chains to the box, where each substring has its columns' share of the rail.
 * @param {Joined} way
 */
export function railParts(way) {
  const { shape } = way, line = boxLine(way)
  const near = NEAR_mm + (line.inside ? 0 : RAIL_mm)
  const columns = shape.rows[0].map(cell => shape.cells[4 * cell] + shape.cells[4 * cell + 2] / 2)
  const each = columns.length / shape.substrings.length
  const parts = shape.substrings.map((part, k) => {
    const chains = part.chains.map(pointsOf)
    /** @type {(nodes: [number, number][], column: number) => { at: [number, number], ends: End[] }} */
    const joined = (nodes, column) => {
      /** @type {[number, number]} */
      const at = line.upright ? [line.at, nodes[0][1]] : [columns[column], line.at]
      return { at, ends: nodes.map(node => ({ node, at, far: Math.hypot(node[0] - at[0], node[1] - at[1]) > near })) }
    }
    const a = joined(chains.map(one => one[0]), Math.round(k * each))
    const b = joined(chains.map(one => one[one.length - 1]), Math.round((k + 1) * each) - 1)
    return { diode: part.diode, a, b }
  })
  return { line, parts }
}

/** An arrow's head in the middle of each long way of a chain, in its direction.
 * @type {(path: string, long: number, size: number) => string} */
export function arrowsOf(path, long, size) {
  const points = pointsOf(path)
  let d = ""
  for (let k = 1; k < points.length; k += 1) {
    const [[x0, y0], [x1, y1]] = [points[k - 1], points[k]]
    const length = Math.hypot(x1 - x0, y1 - y0)
    if (length < long) continue
    const [ux, uy] = [(x1 - x0) / length, (y1 - y0) / length]
    const [x, y] = [(x0 + x1) / 2 + (ux * size) / 2, (y0 + y1) / 2 + (uy * size) / 2]
    const [bx, by] = [x - ux * size, y - uy * size]
    d += `M${r(x)} ${r(y)}L${r(bx - (uy * size) / 2)} ${r(by + (ux * size) / 2)}L${r(bx + (uy * size) / 2)} ${r(by - (ux * size) / 2)}Z`
  }
  return d
}

/** @param {number} value */
const r = value => Math.round(value * 10) / 10

/** @type {(way: Sheet.Way, words: Sheet.Words) => SVGElement} */
export function drawModule(way, words) {
  const { shape } = way
  const size = Math.max(shape.width, shape.height), type = size / 26, pad = RAIL_mm + 1.3 * type
  const { at, upright, inside } = boxLine(way)
  const side = (/** @type {boolean} */ out) => (out && !inside ? pad : 0.5 * type)
  const [left, top] = [side(upright && at < 0), side(!upright && at < 0)]
  const [right, bottom] = [side(upright && at > 0), side(!upright && at > 0)]
  const box = [-left, -top, shape.width + left + right, shape.height + top + bottom].map(r).join(" ")
  const picture = svg("svg", { class: "module", viewBox: box, role: "img", "aria-label": way.told, style: `font-size:${r(type)}px` })
  picture.append(hatches(type), svg("rect", { class: "frame", x: 0, y: 0, width: shape.width, height: shape.height, rx: 8 }))
  shape.substrings.forEach((part, k) => {
    for (let cell = part.first; cell < part.first + part.count; cell += 1) {
      const [x, y, width, height] = shape.cells.slice(4 * cell, 4 * cell + 4)
      picture.append(svg("rect", { class: "cell", x, y, width, height, rx: 5 }))
      if (k % KINDS) picture.append(svg("rect", { class: "hatch", x, y, width, height, rx: 5, fill: `url(#sheet-hatch-${k % KINDS})` }))
    }
  })
  picture.append(svg("path", { class: "ribbon", d: shape.ribbons }))
  for (const part of shape.substrings) {
    for (const chain of part.chains) {
      picture.append(svg("path", { class: "chain", d: chain }), svg("path", { class: "arrow", d: arrowsOf(chain, size / 9, type * 0.9) }))
    }
  }
  drawRail(picture, way, type, words)
  shape.substrings.forEach((part, k) => {
    const cell = part.first + Math.floor(part.lengths[0] / 8)
    const [x, y, width, height] = shape.cells.slice(4 * cell, 4 * cell + 4)
    const number = svg("g", { class: "number", transform: `translate(${r(x + width / 2)} ${r(y + height / 2)})` },
      svg("title", {}, words.substring.replace("{number}", String(k + 1))),
      svg("circle", { r: r(type * 0.85) }), svg("text", { "text-anchor": "middle", y: r(type * 0.36) }, String(k + 1)))
    picture.append(number)
  })
  return picture
}

/** Nodes, wires to the box, diodes, terminals.
 * @type {(picture: SVGElement, way: Sheet.Way, type: number, words: Sheet.Words) => void} */
function drawRail(picture, way, type, words) {
  const { parts, line } = railParts(way)
  const half = type * 0.75
  // One box beyond the edge; across the middle one for each diode.
  const boxes = line.inside ? parts.map(one => [one]) : [parts]
  for (const box of boxes) {
    const along = box.flatMap(({ a, b }) => [a.at, b.at]).map(at => at[line.upright ? 1 : 0])
    const from = r(Math.min(...along) - half), long = r(Math.max(...along) + half - from), across = r(line.at - half)
    picture.append(svg("rect", {
      class: "box", rx: 12, x: line.upright ? across : from, y: line.upright ? from : across,
      width: line.upright ? r(2 * half) : long, height: line.upright ? long : r(2 * half),
    }))
  }
  /** @param {number[]} point */
  const to = point => point.map(r).join(" ")
  parts.forEach(({ a, b, diode }, k) => {
    const ends = [...a.ends, ...b.ends]
    for (const { node, at, far } of ends) picture.append(svg("path", { class: far ? "wire wire--far" : "wire", d: `M${to(node)}L${to(at)}` }))
    picture.append(svg("path", { class: "wire", d: `${k ? `M${to(parts[k - 1].b.at)}L${to(a.at)}` : ""}M${to(a.at)}L${to(b.at)}` }))
    if (diode) picture.append(diodeSign(a.at, b.at, type * 0.5))
    for (const end of ends) {
      picture.append(svg("circle", { class: end.far ? "node node--far" : "node", cx: r(end.node[0]), cy: r(end.node[1]), r: r(type * 0.28) }))
      if (end.far) picture.append(svg("path", { class: "cross", d: crossAt(end, type * 0.4) }, svg("title", {}, words.no_box)))
    }
  })
  const first = parts[0].a.at, last = parts[parts.length - 1].b.at
  const beside = half + type * 0.5
  /** @type {[number[], string, number][]} */
  const signs = [[first, "\u2212", -1], [last, "+", 1]]
  for (const [[x, y], sign, way] of signs) {
    const place = line.upright ? { x: r(x), y: r(y + way * beside + type * 0.36) } : { x: r(x + way * beside), y: r(y + type * 0.36) }
    picture.append(svg("text", { class: "sign", "text-anchor": "middle", ...place }, sign))
  }
}

/** A bypass diode from minus to plus, between two knots of the rail.
 * @type {(a: [number, number], b: [number, number], size: number) => SVGElement} */
function diodeSign([ax, ay], [bx, by], size) {
  const angle = (Math.atan2(by - ay, bx - ax) * 180) / Math.PI
  return svg("path", {
    class: "diode", d: `M${r(-size)} ${r(-size)}V${r(size)}L${r(size * 0.7)} 0ZM${r(size * 0.7)} ${r(-size)}V${r(size)}`,
    transform: `translate(${r((ax + bx) / 2)} ${r((ay + by) / 2)}) rotate(${r(angle)})`,
  })
}

/** @type {(end: End, size: number) => string} */
function crossAt({ node, at }, size) {
  const x = (node[0] + at[0]) / 2, y = (node[1] + at[1]) / 2
  return `M${r(x - size)} ${r(y - size)}L${r(x + size)} ${r(y + size)}M${r(x - size)} ${r(y + size)}L${r(x + size)} ${r(y - size)}`
}

/** @param {number} type */
function hatches(type) {
  const step = r(type * 0.7)
  const square = { width: step, height: step, patternUnits: "userSpaceOnUse" }
  return svg("defs", {},
    svg("pattern", { id: "sheet-hatch-1", ...square, patternTransform: "rotate(45)" }, svg("path", { class: "line", d: `M0 0V${step}` })),
    svg("pattern", { id: "sheet-hatch-2", ...square }, svg("circle", { class: "dot", cx: r(step / 2), cy: r(step / 2), r: r(step / 7) })))
}
