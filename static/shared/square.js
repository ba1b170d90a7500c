// @ts-check
// An address as a square of dots for cameras.

import { svg } from "./elements.js"

const PAD = 3 // light dots round a square, without which cameras do not find it

/** @type {(address: { dots: number, path: string }, label: string) => SVGElement} */
export const squareOf = ({ dots, path }, label) => {
  const side = dots + 2 * PAD
  return svg("svg", { class: "square", viewBox: `${-PAD} ${-PAD} ${side} ${side}`, role: "img", "aria-label": label, "shape-rendering": "crispEdges" },
    svg("rect", { x: -PAD, y: -PAD, width: side, height: side, fill: "#fff" }), svg("path", { d: path, fill: "#000" }))
}
