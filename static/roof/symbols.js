// @ts-check
// The drawing's own symbols: diodes, terminals, fuses, breaks. Lines and triangles, no two alike.

import { svg, tenth } from "./dom.js"
import { zigzag } from "./tiles.js"

/**
 * A bypass diode that points from minus to plus along `angle` (degrees), 30 x 24 at size 1.
 * `look`: { on: it conducts, fault: kind or "" }.
 * @param {Element} parent
 * @param {number} x
 * @param {number} y
 * @param {number} angle
 * @param {{ on: boolean, fault: string }} look
 * @param {number} [size]
 */
export function diode(parent, x, y, angle, look, size = 1) {
  const group = svg("g", {
    class: `diode${look.on ? " on" : ""}${look.fault ? " faulty" : ""}`,
    transform: `translate(${x} ${y}) rotate(${angle}) scale(${size})`,
  }, parent)
  svg("rect", { class: "target", x: -15, y: -12, width: 30, height: 24, rx: 5 }, group)
  const fault = look.fault
  if (fault === "diode-short") {
    svg("path", { class: "ghost", d: "M-6 -6.5V6.5L6 0ZM6 -6.5V6.5" }, group)
    svg("path", { class: "bridge", d: "M-15 0H15" }, group)
    return group
  }
  svg("path", { class: "lead", d: fault === "diode-open" ? "M-15 0H-10M10 0H15" : "M-15 0H-6M6 0H15" }, group)
  const turn = fault === "diode-reversed" ? " rotate(180)" : ""
  const body = svg("g", { transform: `translate(0 0)${turn}`, class: fault === "diode-open" ? "ghost" : "body" }, group)
  svg("path", { class: "triangle", d: "M-6 -6.5V6.5L6 0Z" }, body)
  svg("path", { class: "bar", d: "M6 -7V7" }, body)
  if (fault === "diode-open") svg("path", { class: "cross", d: "M-5 -8L5 8M5 -8L-5 8" }, group)
  if (fault === "diode-reversed") svg("path", { class: "wrong-way", d: "M9 -9A10 10 0 0 0 -8 -9M-8 -9l.5 -4.5M-8 -9l4.4 .6" }, group)
  if (fault === "diode-resistive") svg("path", { class: "burnt", d: zigzag(-1, -9.5, 5) }, group)
  return group
}

/**
 * A fuse in a lead: a small box with the wire through it, or a gap when it has blown.
 * @param {Element} parent
 * @param {number} x
 * @param {number} y
 * @param {boolean} blown
 */
export function fuse(parent, x, y, blown) {
  const group = svg("g", { class: `fuse${blown ? " faulty" : ""}`, transform: `translate(${x} ${y})` }, parent)
  svg("rect", { x: -7, y: -3.5, width: 14, height: 7, rx: 1.5 }, group)
  svg("path", { d: blown ? "M-7 0H-3M3 0H7" : "M-7 0H7" }, group)
  if (blown) svg("path", { class: "cross", d: "M-3 -4.5L3 4.5M3 -4.5L-3 4.5" }, group)
  return group
}

/**
 * A cut in a wire.
 * @param {Element} parent
 * @param {number} x
 * @param {number} y
 */
export function cut(parent, x, y) {
  const group = svg("g", { class: "cut", transform: `translate(${x} ${y})` }, parent)
  svg("path", { class: "gap", d: "M-5 0H5" }, group)
  svg("path", { class: "cross", d: "M-4.5 -5L-0.5 5M0.5 -5L4.5 5" }, group)
  return group
}

/**
 * A small sign for a fault of a whole module.
 * @param {Element} parent
 * @param {number} x
 * @param {number} y
 * @param {string} kind
 */
export function badge(parent, x, y, kind) {
  const group = svg("g", { class: "badge", transform: `translate(${x} ${y})` }, parent)
  svg("rect", { x: -8, y: -8, width: 16, height: 16, rx: 4 }, group)
  /** @type {Record<string, string | undefined>} */
  const signs = {
    "module-reversed": "M-5 -2.5H4L1.5 -5M5 2.5H-4L-1.5 5",
    "connector-resistive": zigzag(0, 0, 4.2),
    soiling: "M-4 -3h.1M0 -4.5h.1M4 -2h.1M-3 2h.1M1 0h.1M4 3.5h.1M0 4.5h.1",
    "induced-shunting": "M0 -5V0M-4.5 0H4.5M-3 2.6H3M-1.3 5.2H1.3",
  }
  svg("path", { d: signs[kind] ?? "M0 -5V1M0 4.4V4.6" }, group)
  return group
}

/**
 * A terminal: a ring with its sign.
 * @param {Element} parent
 * @param {number} x
 * @param {number} y
 * @param {string} sign
 * @param {number} [size]
 */
export function terminal(parent, x, y, sign, size = 1) {
  const group = svg("g", { class: "terminal", transform: `translate(${x} ${y}) scale(${size})` }, parent)
  svg("circle", { class: "target", r: 12 }, group)
  svg("circle", { class: "ring", r: 8 }, group)
  svg("path", { class: "sign", d: sign === "+" ? "M-4 0H4M0 -4V4" : "M-4 0H4" }, group)
  return group
}

/**
 * Chevrons along a straight stretch: the way of the current where nothing moves.
 * @param {number} x
 * @param {number} y
 * @param {number} dx
 * @param {number} dy
 * @param {number} [size]
 */
export function chevron(x, y, dx, dy, size = 4) {
  const length = Math.hypot(dx, dy) || 1
  const [ux, uy] = [(dx / length) * size, (dy / length) * size]
  return `M${tenth(x - ux - uy)} ${tenth(y - uy + ux)}L${tenth(x + ux * 0.4)} ${tenth(y + uy * 0.4)}L${tenth(x - ux + uy)} ${tenth(y - uy - ux)}`
}
