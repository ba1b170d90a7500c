// @ts-check
// A figure's frame: where it is on the stage, how values become px in it and back, and where its curves run.

const LEAST_WIDTH_px = 40, LEAST_HEIGHT_px = 20 // a smaller one is not laid out yet
const STEP_px = 5 // between the points of a line that labels keep away from
const MOST_STEPS = 60

/**
 * Where a figure's frame is, in px of the stage.
 * @param {DOMRect} origin where the stage is
 * @param {string} id of the figure's model
 * @returns {Curves.Box | null}
 */
export function frameBox(origin, id) {
  const view = Bokeh.index.find_one_by_id(id)
  if (!view || !view.frame) return null
  const box = view.frame.bbox
  const plot = view.el.getBoundingClientRect()
  // The canvas takes no keys, so Tab does not stop there; the image is read out all the same.
  if (view.canvas_view?.events_el) view.canvas_view.events_el.tabIndex = -1
  if (box.width < LEAST_WIDTH_px || box.height < LEAST_HEIGHT_px || !plot.width) return null
  return { x: plot.left - origin.left + box.left, y: plot.top - origin.top + box.top, width: box.width, height: box.height }
}

/**
 * How values become px in a frame, and back.
 * @param {Curves.Box} box
 * @param {{ x: Curves.Span, y: Curves.Span }} span
 * @returns {Curves.Frame}
 */
export function frameOf(box, { x: [left, right], y: [low, high] }) {
  return {
    ...box,
    toX: (value) => box.x + ((value - left) / (right - left)) * box.width,
    toY: (value) => box.y + ((high - value) / (high - low)) * box.height,
    fromX: (px) => left + ((px - box.x) / box.width) * (right - left),
    fromY: (px) => high - ((px - box.y) / box.height) * (high - low),
  }
}

/**
 * A curve in px of its frame, thinned where its points lie closer than a pixel.
 * @param {{ get_column(name: string): ArrayLike<number> | null }} source
 * @param {string} column
 * @param {Curves.Frame} frame
 * @returns {Curves.Line}
 */
export function pixels(source, column, frame) {
  const V = source.get_column("V"), Y = source.get_column(column)
  /** @type {Curves.Line} */
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

/**
 * What of a line lies inside a frame, in pieces of points a few px apart: what labels keep away from.
 * @param {number[][]} points of which nothing but x and y is looked at; where one is no number there is a gap
 * @param {Curves.Box} frame
 */
export function lineIn(points, frame) {
  /** @type {[number, number][][]} */
  const pieces = []
  let open = false
  /** @type {(x: number, y: number) => void} */
  const put = (x, y) => {
    const seen = inside(frame, x, y, 0)
    if (seen && !open) pieces.push([])
    if (seen) pieces[pieces.length - 1].push([x, y])
    open = seen
  }
  for (let k = 1; k < points.length; k++) {
    const [x0, y0] = points[k - 1], [x1, y1] = points[k]
    const steps = Math.max(1, Math.min(MOST_STEPS, Math.ceil(Math.hypot(x1 - x0, y1 - y0) / STEP_px)))
    for (let s = 0; s < steps; s++) put(x0 + ((x1 - x0) * s) / steps, y0 + ((y1 - y0) * s) / steps)
    if (!(steps > 0)) open = false // a gap
    else if (k === points.length - 1) put(x1, y1)
  }
  return pieces
}

/**
 * A level line across a frame: labels keep away from it, as from a curve.
 * @param {Curves.Frame} frame
 * @param {number} value
 */
export const levelAt = (frame, value) => lineIn([[frame.x, frame.toY(value)], [frame.x + frame.width, frame.toY(value)]], frame)

/**
 * The point of a curve nearest to the pointer, on the line between two of its points; how far it is, squared.
 * @param {Curves.Line} points
 * @param {number} x
 * @param {number} y
 */
export function nearestOn(points, x, y) {
  /** @type {{ distance: number, V: number, Y: number } | null} */
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

/** @type {(frame: Curves.Box, x: number, y: number, slack?: number) => boolean} */
export const inside = (frame, x, y, slack = 1) =>
  x >= frame.x - slack && x <= frame.x + frame.width + slack && y >= frame.y - slack && y <= frame.y + frame.height + slack
