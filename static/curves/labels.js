// @ts-check
// Labels beside their points: the free place nearest to each, so that none covers another.

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

/** @typedef {Curves.Label & { size: { width: number, height: number }, box: Curves.Placed["box"] | null }} Wish */

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
 * @param {Curves.Box} a
 * @param {Curves.Box} b
 */
const overlap = (a, b) =>
  Math.max(0, Math.min(a.x + a.width, b.x + b.width) - Math.max(a.x, b.x)) *
  Math.max(0, Math.min(a.y + a.height, b.y + b.height) - Math.max(a.y, b.y))

const SIDES = [
  [1, -1], [-1, -1], [1, 1], [-1, 1], [0, -1], [0, 1], [1, 0], [-1, 0],
]
const BETWEEN = [[0.5, -1], [-0.5, -1], [0.5, 1], [-0.5, 1]] // tried last
const GAPS = [7, 14, 24, 38, 47, 56, 68, 80, 95, 110, 127, 145]
const ROUNDS = 3 // labels that chose first choose again once the others have a place
const DEAREST = 260 // what a place may cost: less than lying on another label
const WAY = [0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9]
const CROSSING = 30
const CROWDED = 150, FAR = 40, STEP_PX = 8
const CLEAR_PX = 2 // between two labels, and between a label and a point

/**
 * @param {Curves.Box} box
 * @param {number} by
 */
const grown = (box, by) => ({ x: box.x - by, y: box.y - by, width: box.width + 2 * by, height: box.height + 2 * by })

/**
 * Places for labels, most important first.
 * @template {Curves.Label} T
 * @param {T[]} labels
 * @param {Curves.Box} frame
 * @param {number[][]} points of curves, in px
 * @param {Curves.Box[]} taken boxes to keep free; those of the labels are put to them
 * @param {Curves.Font} font
 * @param {number} size of the type, in px
 * @returns {(T & Curves.Placed)[]} those for which there is room
 */
export function placeLabels(labels, frame, points, taken, font, size) {
  const spots = taken.map((box) => grown(box, CLEAR_PX))
  /** @type {(T & Wish)[]} */
  const wishes = labels.map((label) => ({ ...label, size: labelSize(label.parts, font, size), box: null }))
  for (;;) {
    settle(wishes, frame, points, spots)
    // Where there is no room for all, the least important goes, and the others choose anew.
    const last = wishes.findLastIndex((one) => !one.must && one.box && one.box.cost > DEAREST)
    if (last < 0) break
    wishes.splice(last, 1)
  }
  const placed = /** @type {(T & Curves.Placed)[]} */ (wishes)
  taken.push(...placed.map((one) => one.box))
  return placed
}

/**
 * @param {Wish[]} wishes
 * @param {Curves.Box} frame
 * @param {number[][]} points
 * @param {Curves.Box[]} spots
 */
function settle(wishes, frame, points, spots) {
  for (let round = 0; round < ROUNDS; round++) {
    for (const wish of wishes) {
      const others = wishes.flatMap((one) => (one !== wish && one.box ? [grown(one.box, CLEAR_PX)] : []))
      wish.box = bestPlace(wish, frame, points, [...spots, ...others], others)
    }
  }
}

// How many other labels the straight way from a place to the label's point goes through.
/**
 * @param {Curves.Box} place
 * @param {{ x: number, y: number }} point
 * @param {Curves.Box[]} others
 */
function across({ x, y, width, height }, point, others) {
  const from = { x: Math.max(x, Math.min(x + width, point.x)), y: Math.max(y, Math.min(y + height, point.y)) }
  /** @type {(one: Curves.Box, t: number) => boolean} */
  const within = (one, t) => {
    const at = { x: from.x + t * (point.x - from.x), y: from.y + t * (point.y - from.y) }
    return at.x > one.x && at.x < one.x + one.width && at.y > one.y && at.y < one.y + one.height
  }
  return others.filter((one) => WAY.some((t) => within(one, t))).length
}

// What a place costs beyond its distance: what it covers, what its leader crosses. No more is counted than `most`.
/**
 * @param {Curves.Box} here
 * @param {Wish} label
 * @param {number[][]} points
 * @param {Curves.Box[]} taken
 * @param {Curves.Box[]} others
 * @param {number} most
 */
function covers(here, label, points, taken, others, most) {
  let cost = 0
  for (const other of taken) {
    const covered = overlap(here, other)
    if (covered) cost += 400 + covered * 20
  }
  if (cost >= most) return cost
  cost += CROSSING * across(here, label, others)
  if (cost >= most) return cost
  const { x, y, width, height } = here
  for (const [px, py] of points) {
    if (px > x - 1 && px < x + width + 1 && py > y && py < y + height) cost += label.far ? 14 : 9
  }
  return cost
}

// The cheapest place for one label: near its point, clear of what is taken and of the curves, within the frame.
/**
 * @param {Wish} label
 * @param {Curves.Box} frame
 * @param {number[][]} points
 * @param {Curves.Box[]} taken
 * @param {Curves.Box[]} others
 * @returns {Curves.Placed["box"]}
 */
function bestPlace(label, frame, points, taken, others) {
  const { width, height } = label.size
  const sides = (label.prefer || [...SIDES.keys()]).map((side) => SIDES[side])
  const [left, right] = [frame.x + 1, frame.x + frame.width - 4 - width]
  const [top, bottom] = [frame.y - 2, frame.y + frame.height - 1 - height]
  let best = { x: left, y: top, width, height, cost: Infinity }
  /** @type {(x: number, y: number, cost: number) => void} */
  const consider = (x, y, cost) => {
    const here = { x, y, width, height }
    if (cost >= best.cost) return
    cost += covers(here, label, points, taken, others, best.cost - cost)
    if (cost < best.cost) best = { ...here, cost }
  }
  for (const gap of GAPS) {
    for (const [order, [sx, sy]] of [...sides, ...BETWEEN].entries()) {
      const wanted = {
        x: label.x + sx * gap * (sy ? 0.75 : 1) - width * (0.5 - sx / 2),
        y: label.y + sy * gap * (sx ? 0.75 : 1) - height * (0.5 - sy / 2),
      }
      const x = Math.max(left, Math.min(right, wanted.x))
      const y = Math.max(top, Math.min(bottom, wanted.y))
      consider(x, y, order * 1.5 + gap * 0.6 + 4 * Math.hypot(x - wanted.x, y - wanted.y))
    }
  }
  if (best.cost <= CROWDED) return best
  // No place around the point is free: whatever else of the frame is.
  for (let y = top; y <= bottom; y += STEP_PX) {
    for (let x = left; x <= right; x += 2 * STEP_PX) {
      consider(x, y, FAR + 0.6 * Math.hypot(x + width / 2 - label.x, y + height / 2 - label.y))
    }
  }
  return best
}
