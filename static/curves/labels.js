// @ts-check
// Labels beside their points: how large their texts are, where they stand, and how they are written.

import { place } from "../shared/placer.js"

const SVG = "http://www.w3.org/2000/svg"

/**
 * @template {keyof SVGElementTagNameMap} K
 * @param {K} tag
 * @param {Record<string, string | number>} [attributes]
 * @param {Element | null} [parent]
 * @returns {SVGElementTagNameMap[K]}
 */
export function svg(tag, attributes = {}, parent = null) {
  const node = document.createElementNS(SVG, tag)
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, String(value))
  if (parent) parent.append(node)
  return node
}

/** @type {CanvasRenderingContext2D | null} */
let ruler = null // made with the first label

// A label is a list of [text, kind]; kind "sub" is an index set lower and smaller.
/**
 * @param {Curves.Words} parts
 * @param {Curves.Font} font
 * @param {number} size
 */
export function labelSize(parts, font, size) {
  let width = 0
  const pen = ruler ??= /** @type {CanvasRenderingContext2D} */ (document.createElement("canvas").getContext("2d"))
  for (const [text, kind] of parts) {
    pen.font = `${font.weight} ${kind === "sub" ? size * 0.72 : size}px ${font.family}`
    width += pen.measureText(text.replace(/[1-9]/g, "0")).width // on the page all figures are as wide as a zero
  }
  return { width: width + 2, height: size * 1.25 }
}

/**
 * @param {Element} parent
 * @param {Curves.Words} parts
 * @param {Record<string, string | number>} attributes
 */
export function drawText(parent, parts, attributes) {
  const text = svg("text", attributes, parent)
  for (const [words, kind] of parts) {
    const span = svg("tspan", kind === "sub" ? { class: "sub", dy: "0.22em" } : {}, text)
    span.textContent = words
    if (kind === "sub") {
      const back = svg("tspan", { dy: "-0.16em" }, text)
      back.textContent = "\u200b"
    }
  }
  return text
}

/**
 * Places for labels, in the order in which they choose.
 * @template {Curves.Label} T
 * @param {T[]} labels
 * @param {Labels.Box} frame
 * @param {Curves.Lines} lines that they keep off
 * @param {Labels.Box[]} taken boxes to keep free; those of the labels are put to them
 * @param {Curves.Font} font
 * @param {number} size of the type, in px
 * @returns {(T & { box: Labels.Place })[]} those for which there is room
 */
export function placeLabels(labels, frame, lines, taken, font, size) {
  const boxes = place(labels.map((label) => ({ ...label, ...labelSize(label.parts, font, size) })), frame, lines.whole, taken, lines.guides)
  const placed = labels.flatMap((label, k) => { const box = boxes[k]; return box ? [{ ...label, box }] : [] })
  taken.push(...placed.map((one) => one.box))
  return placed
}
