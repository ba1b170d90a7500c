// Labels beside their points: the free place nearest to each, so that none covers another.

const SVG = "http://www.w3.org/2000/svg"

export function svg(tag, attributes = {}, parent = null) {
  const node = document.createElementNS(SVG, tag)
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value)
  if (parent) parent.append(node)
  return node
}

export function html(tag, attributes = {}, ...children) {
  const node = document.createElement(tag)
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on")) node.addEventListener(name.slice(2), value)
    else if (value !== null && value !== false) node.setAttribute(name, value === true ? "" : value)
  }
  node.append(...children.filter((child) => child !== null))
  return node
}

let ruler = null // made with the first label

// A label is a list of [text, kind]; kind "sub" is an index set lower and smaller.
export function labelSize(parts, font, size) {
  let width = 0
  ruler ??= document.createElement("canvas").getContext("2d")
  for (const [text, kind] of parts) {
    ruler.font = `${font.weight} ${kind === "sub" ? size * 0.72 : size}px ${font.family}`
    width += ruler.measureText(text.replace(/[1-9]/g, "0")).width // on the page all figures are as wide as a zero
  }
  return { width: width + 2, height: size * 1.25 }
}

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

const overlap = (a, b) =>
  Math.max(0, Math.min(a.x + a.width, b.x + b.width) - Math.max(a.x, b.x)) *
  Math.max(0, Math.min(a.y + a.height, b.y + b.height) - Math.max(a.y, b.y))

const SIDES = [
  [1, -1], [-1, -1], [1, 1], [-1, 1], [0, -1], [0, 1], [1, 0], [-1, 0],
]
const BETWEEN = [[0.5, -1], [-0.5, -1], [0.5, 1], [-0.5, 1]] // tried last
const GAPS = [7, 14, 24, 38, 56, 80, 110, 145]
const ROUNDS = 3 // labels that chose first choose again once the others have a place
const DEAREST = 260 // what a place may cost: less than lying on another label
const CLEAR_PX = 2 // between two labels, and between a label and a point

const grown = (box, by) => ({ x: box.x - by, y: box.y - by, width: box.width + 2 * by, height: box.height + 2 * by })

/* Places for labels, most important first.
   labels: [{x, y, parts, prefer: [side indices], must, far}], points: curve points in px, taken: boxes to keep free. */
export function placeLabels(labels, frame, points, taken, font, size) {
  const spots = taken.map((box) => grown(box, CLEAR_PX))
  const wishes = labels.map((label) => ({ ...label, size: labelSize(label.parts, font, size), box: null }))
  for (;;) {
    settle(wishes, frame, points, spots)
    // Where there is no room for all, the least important goes, and the others choose anew.
    const last = wishes.findLastIndex((one) => !one.must && one.box.cost > DEAREST)
    if (last < 0) break
    wishes.splice(last, 1)
  }
  taken.push(...wishes.map((one) => one.box))
  return wishes
}

function settle(wishes, frame, points, spots) {
  for (let round = 0; round < ROUNDS; round++) {
    for (const wish of wishes) {
      const others = wishes.filter((one) => one !== wish && one.box).map((one) => grown(one.box, CLEAR_PX))
      wish.box = bestPlace(wish, frame, points, [...spots, ...others])
    }
  }
}

// The cheapest place for one label: near its point, clear of what is taken and of the curves, within the frame.
function bestPlace(label, frame, points, taken) {
  const { width, height } = label.size
  const sides = (label.prefer || [...SIDES.keys()]).map((side) => SIDES[side])
  let best = null
  for (const gap of GAPS) {
    for (const [order, [sx, sy]] of [...sides, ...BETWEEN].entries()) {
      const wanted = {
        x: label.x + sx * gap * (sy ? 0.75 : 1) - width * (0.5 - sx / 2),
        y: label.y + sy * gap * (sx ? 0.75 : 1) - height * (0.5 - sy / 2),
      }
      const x = Math.max(frame.x + 1, Math.min(frame.x + frame.width - 4 - width, wanted.x))
      const y = Math.max(frame.y - 2, Math.min(frame.y + frame.height - 1 - height, wanted.y))
      const here = { x, y, width, height }
      let cost = order * 1.5 + gap * 0.6 + 4 * Math.hypot(x - wanted.x, y - wanted.y)
      for (const other of taken) {
        const covered = overlap(here, other)
        if (covered) cost += 400 + covered * 20
      }
      if (best && cost >= best.cost) continue
      for (const [px, py] of points) {
        if (px > x - 1 && px < x + width + 1 && py > y && py < y + height) cost += label.far ? 14 : 9
      }
      if (!best || cost < best.cost) best = { ...here, cost }
    }
  }
  return best
}
