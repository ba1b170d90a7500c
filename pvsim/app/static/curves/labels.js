// Labels beside their points: the free place nearest to each, so that none covers another.

const SVG = "http://www.w3.org/2000/svg"

function svg(tag, attributes = {}, parent = null) {
  const node = document.createElementNS(SVG, tag)
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value)
  if (parent) parent.append(node)
  return node
}

function html(tag, attributes = {}, ...children) {
  const node = document.createElement(tag)
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on")) node.addEventListener(name.slice(2), value)
    else if (value !== null && value !== false) node.setAttribute(name, value === true ? "" : value)
  }
  node.append(...children.filter((child) => child !== null))
  return node
}

const ruler = document.createElement("canvas").getContext("2d")

// A label is a list of [text, kind]; kind "sub" is an index set lower and smaller.
function labelSize(parts, font, size) {
  let width = 0
  for (const [text, kind] of parts) {
    ruler.font = `${font.weight} ${kind === "sub" ? size * 0.72 : size}px ${font.family}`
    width += ruler.measureText(text).width
  }
  return { width: width + 2, height: size * 1.25 }
}

function drawText(parent, parts, attributes) {
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
const BETWEEN = [[0.5, -1], [-0.5, -1], [0.5, 1], [-0.5, 1]] // tried last, where two curves share a frame

/* Places for labels, most important first.
   labels: [{x, y, parts, prefer: [side indices], must, far}], points: curve points in px, taken: boxes to keep free. */
function placeLabels(labels, frame, points, taken, font, size) {
  const placed = []
  for (const label of labels) {
    const box = labelSize(label.parts, font, size)
    let best = null
    const sides = (label.prefer || [...SIDES.keys()]).map((side) => SIDES[side])
    if (label.far) sides.push(...BETWEEN)
    for (const gap of label.far ? [7, 14, 24, 38, 56, 80] : [7, 14, 24, 38, 56]) {
      for (const [order, [sx, sy]] of sides.entries()) {
        const here = {
          x: label.x + sx * gap * (sy ? 0.75 : 1) - box.width * (0.5 - sx / 2),
          y: label.y + sy * gap * (sx ? 0.75 : 1) - box.height * (0.5 - sy / 2),
          ...box,
        }
        const out = here.x < frame.x + 1 || here.y < frame.y - 2 || here.x + box.width > frame.x + frame.width - 1 ||
          here.y + box.height > frame.y + frame.height - 1
        let cost = order * 1.5 + gap * 0.6 + (out ? 4000 : 0)
        for (const other of taken) cost += overlap(here, other) * 12
        for (const [x, y] of points) {
          if (x > here.x - 1 && x < here.x + box.width + 1 && y > here.y && y < here.y + box.height) cost += label.far ? 14 : 9
        }
        if (!best || cost < best.cost) best = { ...here, cost }
      }
    }
    if (best.cost > 260 && !label.must) continue
    taken.push(best)
    placed.push({ ...label, box: best })
  }
  return placed
}
