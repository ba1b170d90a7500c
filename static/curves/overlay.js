// What lies over the canvases: key points, labels, the operating point and the cursor.

import { drawText, labelSize, placeLabels, svg } from "./labels.js"

// Where a figure's frame is, in px of the stage.
export function frameBox(origin, id) {
  const view = Bokeh.index.find_one_by_id(id)
  if (!view || !view.frame) return null
  const box = view.frame.bbox
  const plot = view.el.getBoundingClientRect()
  // The canvas takes no keys, so Tab does not stop there; the image is read out all the same.
  if (view.canvas_view && view.canvas_view.events_el) view.canvas_view.events_el.tabIndex = -1
  if (box.width < 40 || box.height < 20 || !plot.width) return null
  return { x: plot.left - origin.left + box.left, y: plot.top - origin.top + box.top, width: box.width, height: box.height }
}

// How values become px in a frame, and back.
export function frameOf(box, span) {
  if (!box) return null
  const [left, right] = span.x
  const [low, high] = span.y
  return {
    ...box,
    toX: (value) => box.x + ((value - left) / (right - left)) * box.width,
    toY: (value) => box.y + ((high - value) / (high - low)) * box.height,
    fromX: (px) => left + ((px - box.x) / box.width) * (right - left),
    fromY: (px) => high - ((px - box.y) / box.height) * (high - low),
  }
}

// A curve in px of its frame, thinned where its points lie closer than a pixel.
export function pixels(source, column, frame) {
  const V = source.get_column("V"), Y = source.get_column(column)
  const points = []
  if (!V || !Y) return points
  for (let k = 0; k < V.length; k++) {
    const x = frame.toX(V[k]), y = frame.toY(Y[k])
    const last = points[points.length - 1]
    const near = last && Math.abs(x - last[0]) + Math.abs(y - last[1]) <= 1    // never so at a gap, which is not a number
    if (!near || k === V.length - 1) points.push([x, y, V[k], Y[k]])
  }
  return points
}

// Points a few px apart along a curve inside its frame: what labels keep away from.
export function obstacles(points, frame) {
  const out = []
  for (let k = 1; k < points.length; k++) {
    const [x0, y0] = points[k - 1], [x1, y1] = points[k]
    const steps = Math.min(60, Math.ceil(Math.hypot(x1 - x0, y1 - y0) / 5))
    for (let s = 0; s < steps; s++) {
      const x = x0 + ((x1 - x0) * s) / steps, y = y0 + ((y1 - y0) * s) / steps
      if (x >= frame.x && x <= frame.x + frame.width && y >= frame.y && y <= frame.y + frame.height) out.push([x, y])
    }
  }
  return out
}

// The point of a curve nearest to the pointer, on the line between two of its points.
export function nearestOn(points, x, y) {
  let best = null
  for (let k = 1; k < points.length; k++) {
    const [x0, y0, V0, Y0] = points[k - 1], [x1, y1, V1, Y1] = points[k]
    const length = (x1 - x0) ** 2 + (y1 - y0) ** 2
    const t = length ? Math.max(0, Math.min(1, ((x - x0) * (x1 - x0) + (y - y0) * (y1 - y0)) / length)) : 0
    const distance = (x0 + t * (x1 - x0) - x) ** 2 + (y0 + t * (y1 - y0) - y) ** 2
    if (!best || distance < best.distance) best = { distance, V: V0 + t * (V1 - V0), Y: Y0 + t * (Y1 - Y0) }
  }
  return best
}

export const inside = (frame, x, y, slack = 1) =>
  x >= frame.x - slack && x <= frame.x + frame.width + slack && y >= frame.y - slack && y <= frame.y + frame.height + slack

// Where rings and dots of a figure come to lie, for labels of another one in the same frame.
export function spots(frame, kind, shown, font) {
  const value = kind === "current" ? "I" : "P"
  const box = (one, size) => ({ x: frame.toX(one.V) - size / 2, y: frame.toY(one[value]) - size / 2, width: size, height: size })
  const size = font.k ** 0.5
  return [...shown.marks.map((one) => box(one, 10 * size)), ...shown.held.map((one) => box(one, 16 * size + 6))]
}

// Points a few px apart along a level line: labels keep away from it, as from a curve.
export function levelAt(frame, value) {
  const points = []
  for (let x = frame.x; x < frame.x + frame.width; x += 5) points.push([x, frame.toY(value)])
  return points
}

export function drawTitle(layer, frame, title, kind, right) {
  const x = right ? frame.x + frame.width : frame.x
  drawText(layer, [[title, ""]], { x, y: frame.y - 6, class: `of-${kind}`, "text-anchor": right ? "end" : "start" })
}

// A thin line to a point whose label had to go far.
function drawLeader(layer, point, box, font) {
  const x = Math.max(box.x, Math.min(box.x + box.width, point.x))
  const y = Math.max(box.y + 2, Math.min(box.y + box.height - 2, point.y))
  const length = Math.hypot(x - point.x, y - point.y)
  const free = point.style === "strong" ? 10 * font.k ** 0.5 : 5
  if (length < 18 * font.k) return
  const t = free / length
  svg("path", { d: `M${point.x + t * (x - point.x)} ${point.y + t * (y - point.y)}L${x} ${y}`, class: "leader" }, layer)
}

// Key points with their labels, and the operating point, of one figure.
export function drawFigure(layer, frame, kind, shown, font, taken, others2) {
  const value = kind === "current" ? "I" : "P"
  const near = shown.curves[kind]
  const points = obstacles(near, frame)
  const others = shown.befores[kind]
  const soft = others ? obstacles(others, frame).filter((_, k) => k % 2 === 0) : []
  const zero = levelAt(frame, 0)
  if (shown.load?.kind === "voltage") for (let at = frame.y; at < frame.y + frame.height; at += 5) zero.push([frame.toX(shown.load.value), at])
  const labels = []
  let ends = 0 // Isc and Voc have few places, so they choose first
  for (const mark of shown.marks) {
    const x = frame.toX(mark.V), y = frame.toY(mark[value])
    if (!inside(frame, x, y) || (kind === "power" && (mark.kind === "isc" || mark.kind === "voc"))) continue
    const hollow = mark.kind !== "mpp"
    svg("circle", { cx: x, cy: y, r: (hollow ? 3.2 : 4.2) * font.k ** 0.5, class: `point ${kind}${hollow ? " hollow" : ""}` }, layer)
    taken.push({ x: x - 5, y: y - 5, width: 10, height: 10 })
    // In one frame the power's label says enough of the maximum, and none where the point held is beside it.
    const beside = shown.held.some((one) => Math.hypot(frame.toX(one.V) - x, frame.toY(one[value]) - y) < 30 && one.label[kind])
    if (!mark.label[kind] || (shown.twin && mark.kind === "mpp" && (kind === "current" || beside))) continue
    const label = { x, y, parts: mark.label[kind], prefer: mark.prefer, must: mark.must && !shown.twin, style: `of-${kind}` }
    if (mark.kind === "isc" || mark.kind === "voc") labels.splice(ends++, 0, label)
    else labels.push(label)
  }
  const alone = shown.held.length === 1
  for (const grip of shown.held) {
    const x = frame.toX(grip.V), y = frame.toY(grip[value])
    if (inside(frame, x, y, 3)) {
      if (alone) for (let at = y; at < frame.y + frame.height; at += 5) zero.push([x, at])
      if (kind === "current" && alone) {
        svg("path", { d: `M${frame.x} ${y}H${x}`, class: "hair" }, layer)
        for (let at = frame.x; at < x; at += 5) zero.push([at, y])
      }
      const r = 8 * font.k ** 0.5
      svg("circle", { cx: x, cy: y, r, class: "grip-under" }, layer)
      svg("circle", { cx: x, cy: y, r, class: "grip" }, layer)
      taken.push({ x: x - r - 2, y: y - r - 2, width: 2 * r + 4, height: 2 * r + 4 })
      // Points of several trackers are named in turn; in one frame the power's label says enough of each.
      // Where one small frame has no room for it at all, the line below the slider says it.
      // No power beside the voltage and no current on the same axis says nothing more.
      const none = shown.twin && kind === "power" && Math.abs(grip.P) < 1e-3 * frame.fromY(frame.y) && alone
      const said = !none && (alone || !shown.twin || kind === "power")
      if (grip.label[kind] && said) labels.splice(ends, 0, { x, y, parts: grip.label[kind], must: !shown.twin, style: "strong", prefer: [2, 3, 0, 1, 5, 4, 6, 7] })
    } else if (grip.label[kind]) {
      const { at, right } = drawBeyond(layer, frame, x, y, taken)
      labels.splice(ends, 0, { ...at, parts: grip.label[kind], must: true, style: "strong", prefer: right ? [7, 3, 1, 5, 4] : [6, 2, 0, 5, 4] })
    }
  }
  if (shown.beforeAt && others && !(shown.twin && kind === "power")) {
    const x = frame.toX(shown.beforeAt.V), y = frame.toY(shown.beforeAt[value])
    if (inside(frame, x, y)) labels.push({ x, y, parts: [[shown.words.before, ""]], style: "of-before" })
  }
  for (const label of labels) label.far = shown.twin && label.style !== "of-before"
  for (const label of placeLabels(labels, frame, [...points, ...soft, ...zero, ...others2], taken, font, font.size)) {
    const box = label.box
    if (label.style !== "of-before") drawLeader(layer, label, box, font)
    drawText(layer, label.parts, { x: box.x + 1, y: box.y + box.height * 0.8, class: label.style })
  }
}

// A point outside the axes: an arrow at the edge that says where it is, with its label on the inner side.
function drawBeyond(layer, frame, x, y, taken) {
  const right = frame.x + frame.width, bottom = frame.y + frame.height
  const at = { x: Math.max(frame.x, Math.min(right, x)), y: Math.max(frame.y, Math.min(bottom, y)) }
  const turn = (Math.atan2(y - at.y, x - at.x) * 180) / Math.PI
  svg("path", { d: "M0 0L-9 -5V5Z", class: "beyond", transform: `translate(${at.x} ${at.y}) rotate(${turn})` }, layer)
  taken.push({ x: at.x - 10, y: at.y - 10, width: 20, height: 20 })
  return { at, right: Math.abs(turn) <= 90 }
}

// What holds the operating point: a vertical, a horizontal or the line of a resistance.
export function drawLoad(layer, frame, kind, load, id) {
  if (!load) return
  const [left, right] = [frame.fromX(frame.x), frame.fromX(frame.x + frame.width)]
  let d = ""
  if (load.kind === "voltage") d = `M${frame.toX(load.value)} ${frame.y}V${frame.y + frame.height}`
  else if (load.kind === "current" && kind === "current") d = `M${frame.x} ${frame.toY(load.value)}H${frame.x + frame.width}`
  else {
    for (let k = 0; k <= 60; k++) {
      const V = left + ((right - left) * k) / 60
      const Y = load.kind === "current" ? load.value * V : kind === "current" ? V / load.value : (V * V) / load.value
      d += `${k ? "L" : "M"}${frame.toX(V).toFixed(1)} ${frame.toY(Y).toFixed(1)}`
    }
  }
  svg("path", { d, class: "load", "clip-path": `url(#${id})` }, layer)
}

// The magnified difference: its factor, large, and its greatest value.
export function drawDifference(layer, frame, shown, font) {
  const { factor, peak } = shown.difference
  const taken = []
  const size = font.size * (shown.difference.magnified ? 1.5 : 1)
  const large = labelSize([[factor, ""]], font, size)
  const corner = { x: frame.x + frame.width - large.width - 4, y: frame.y + frame.height - large.height - 2, ...large }
  if (!factor) return
  drawText(layer, [[factor, ""]], { x: corner.x, y: corner.y + large.height * 0.8, class: shown.difference.magnified ? "factor axis" : "axis" })
  if (shown.difference.magnified) {
    const word = labelSize([[shown.words.magnified, ""]], font, font.size)
    taken.push({ x: corner.x - 8 - word.width, y: corner.y, width: word.width + 8, height: corner.height })
  }
  if (shown.difference.magnified) drawText(layer, [[shown.words.magnified, ""]], { x: corner.x - 5, y: corner.y + large.height * 0.8, class: "axis", "text-anchor": "end" })
  taken.push(corner)
  if (!peak) return
  const x = frame.toX(peak.V), y = frame.toY(peak.value)
  if (!inside(frame, x, y)) return
  svg("circle", { cx: x, cy: y, r: 4, class: `point ${shown.difference.quantity}` }, layer)
  taken.push({ x: x - 5, y: y - 5, width: 10, height: 10 })
  const points = obstacles(shown.curves.difference, frame)
  for (const label of placeLabels([{ x, y, parts: peak.label, must: true }], frame, points, taken, font, font.size)) {
    drawText(layer, label.parts, { x: label.box.x + 1, y: label.box.y + label.box.height * 0.8, class: `of-${shown.difference.quantity}` })
  }
}
