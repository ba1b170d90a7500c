// @ts-check
// Shadows on the roof: their outlines, and the handles that move, stretch and turn them.

import { put, svg, tenth } from "./dom.js"

/**
 * The layer of the shadows, with what is drawn of each.
 * @typedef {SVGElement & { key?: string | null, paths?: { group: SVGElement, path: SVGElement, vein: SVGElement | null }[] }} ShadowLayer
 */

const BANDS = new Set(["snow-edge", "front-row"])
const LEAST_m = 0.01
/** @type {Record<string, [number, number] | undefined>} */
const WAYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }

/** @param {Pick<Roof.Shadow, "kind">} shadow */
export const isBand = (shadow) => BANDS.has(shadow.kind)

/**
 * The outlines of a shadow in mm, as the solver has them.
 * @param {Roof.Shadow} shadow
 * @param {Roof.Plan} plan
 * @returns {number[][][]}
 */
export function outlinesOf(shadow, plan) {
  if (isBand(shadow)) return bands(shadow, plan)
  const shapes = /** @type {Record<string, number[] | undefined>} */ (plan.scene.outlines)
  const unit = shapes[shadow.kind] ?? [-0.5, -0.5, 0.5, -0.5, 0.5, 0.5, -0.5, 0.5]
  const points = []
  for (let k = 0; k < unit.length; k += 2) points.push(toRoof(shadow, unit[k] * shadow.width * 1000, unit[k + 1] * shadow.height * 1000))
  return [points]
}

/**
 * @param {Roof.Shadow} shadow
 * @param {Roof.Plan} plan
 */
function bands(shadow, plan) {
  const high = shadow.height * 1000
  const boxes = shadow.kind === "snow-edge"
    ? plan.modules.map((m) => [m.left, m.top, m.left + m.width, m.top + m.height])
    : plan.rows.filter(Boolean).map((row) => [
        Math.min(...row.map((m) => m.left)), Math.min(...row.map((m) => m.top)),
        Math.max(...row.map((m) => m.left + m.width)), Math.max(...row.map((m) => m.top + m.height)),
      ])
  return boxes.map(([left, top, right, bottom]) => {
    const edge = Math.max(bottom - high, top)
    return [[left, edge], [right, edge], [right, bottom], [left, bottom]]
  })
}

/**
 * From the shadow's own axes (mm from its centre) to the roof.
 * @param {Roof.Shadow} shadow
 * @param {number} dx
 * @param {number} dy
 * @returns {[number, number]}
 */
export function toRoof(shadow, dx, dy) {
  const a = (shadow.angle * Math.PI) / 180
  return [shadow.x * 1000 + dx * Math.cos(a) - dy * Math.sin(a), shadow.y * 1000 + dx * Math.sin(a) + dy * Math.cos(a)]
}

/**
 * From the roof to the shadow's own axes, in mm.
 * @param {Roof.Shadow} shadow
 * @param {number} x
 * @param {number} y
 */
export function fromRoof(shadow, x, y) {
  const a = (-shadow.angle * Math.PI) / 180
  const [dx, dy] = [x - shadow.x * 1000, y - shadow.y * 1000]
  return [dx * Math.cos(a) - dy * Math.sin(a), dx * Math.sin(a) + dy * Math.cos(a)]
}

/**
 * A shadow after its corner was pulled to a point; the opposite corner stays.
 * @param {Roof.Shadow} shadow
 * @param {number[]} corner
 * @param {number} x
 * @param {number} y
 */
export function stretched(shadow, corner, x, y) {
  const [sx, sy] = corner
  const fixed = toRoof(shadow, (-sx * shadow.width * 1000) / 2, (-sy * shadow.height * 1000) / 2)
  const base = { ...shadow, x: fixed[0] / 1000, y: fixed[1] / 1000 }
  const [dx, dy] = fromRoof(base, x, y)
  const width = Math.max(LEAST_m, (sx * dx) / 1000)
  const height = Math.max(LEAST_m, (sy * dy) / 1000)
  const centre = toRoof(base, (sx * width * 1000) / 2, (sy * height * 1000) / 2)
  return { ...shadow, width, height, x: centre[0] / 1000, y: centre[1] / 1000 }
}

/**
 * The angle (degrees, whole, snapping at right angles) that points the handle above at (x, y).
 * @param {Roof.Shadow} shadow
 * @param {number} x
 * @param {number} y
 */
export function turned(shadow, x, y) {
  const angle = (Math.atan2(y - shadow.y * 1000, x - shadow.x * 1000) * 180) / Math.PI + 90
  const near = Math.round(angle / 45) * 45
  const chosen = Math.abs(angle - near) < 3 ? near : Math.round(angle)
  return ((((chosen + 180) % 360) + 360) % 360) - 180
}

/**
 * What a key does to a shadow: the fields that change, or null.
 * @param {Roof.Shadow} shadow
 * @param {KeyboardEvent} event
 */
export function keyed(shadow, event) {
  const step = event.shiftKey ? 0.1 : 0.01
  const way = WAYS[event.key]
  /** @param {number} v */
  const r = (v) => Math.round(v * 1000) / 1000
  if (way && (event.altKey || isBand(shadow))) {
    const width = isBand(shadow) ? shadow.width : Math.max(LEAST_m, r(shadow.width + way[0] * step))
    const height = Math.max(LEAST_m, r(shadow.height - way[1] * step))
    return { width, height }
  }
  if (way) return { x: r(shadow.x + way[0] * step), y: r(shadow.y + way[1] * step) }
  const turn = event.shiftKey ? 15 : 1
  if ((event.key === "[" || event.key === "{") && !isBand(shadow)) return { angle: wrapped(shadow.angle - turn) }
  if ((event.key === "]" || event.key === "}") && !isBand(shadow)) return { angle: wrapped(shadow.angle + turn) }
  return null
}

/** @param {number} angle */
function wrapped(angle) {
  return ((((angle + 180) % 360) + 360) % 360) - 180
}

/**
 * Draw all shadows on the roof; elements are kept while their number and kinds stay.
 * @param {ShadowLayer} layer
 * @param {Roof.Plan} plan
 * @param {Roof.Shadow[]} shadows
 * @param {number} chosen
 */
export function drawShadows(layer, plan, shadows, chosen) {
  const key = shadows.map((s) => s.kind).join(" ")
  let paths = layer.paths
  if (!paths || layer.key !== key) {
    layer.key = key
    layer.replaceChildren()
    paths = layer.paths = shadows.map((shadow, k) => {
      const group = svg("g", { class: `shadow ${shadow.kind}`, "data-shadow": k }, layer)
      const path = svg("path", {}, group)
      const vein = shadow.kind === "leaf" ? svg("path", { class: "vein" }, group) : null
      return { group, path, vein }
    })
  }
  paths.forEach(({ group, path, vein }, k) => {
    const shadow = shadows[k]
    put(path, "d", outlinesOf(shadow, plan).map((points) => `M${points.map((p) => `${tenth(p[0])} ${tenth(p[1])}`).join("L")}Z`).join(""))
    if (vein) {
      const [a, b] = [toRoof(shadow, 0, -480 * shadow.height), toRoof(shadow, 0, 480 * shadow.height)]
      put(vein, "d", `M${tenth(a[0])} ${tenth(a[1])}L${tenth(b[0])} ${tenth(b[1])}`)
    }
    group.style.setProperty("--dark", String(1 - shadow.through))
    group.classList.toggle("chosen", k === chosen)
  })
}

/**
 * Handles of the chosen shadow: corners, a handle that turns it, or one edge for a band.
 * @param {Element} layer
 * @param {Roof.Shadow | null} shadow
 * @param {Roof.Plan} plan
 * @param {Roof.Camera} camera
 * @param {Roof.Words} words
 */
export function drawHandles(layer, shadow, plan, camera, words) {
  layer.replaceChildren()
  if (!shadow) return
  /** @param {number[]} point */
  const px = ([x, y]) => [x * camera.scale + camera.x, y * camera.scale + camera.y]
  /** @type {(spot: number[], name: string, cursor: string, label: string) => number[]} */
  const handle = (spot, name, cursor, label) => {
    const [x, y] = px(spot)
    const group = svg("g", { class: "handle", "data-handle": name, style: `cursor:${cursor}` }, layer)
    svg("circle", { class: "target", cx: x, cy: y, r: 14 }, group)
    svg("rect", { x: x - 5, y: y - 5, width: 10, height: 10, rx: name === "turn" ? 5 : 2 }, group)
    svg("title", { text: label }, group)
    return [x, y]
  }
  if (isBand(shadow)) {
    const [first] = outlinesOf(shadow, plan)
    handle([(first[0][0] + first[1][0]) / 2, first[0][1]], "edge", "ns-resize", words.resize)
    return
  }
  const [hw, hh] = [shadow.width * 500, shadow.height * 500]
  const frame = [[-1, -1], [1, -1], [1, 1], [-1, 1]].map(([sx, sy]) => px(toRoof(shadow, sx * hw, sy * hh)))
  svg("path", { class: "handle-frame", d: `M${frame.map((p) => p.map((v) => v.toFixed(1)).join(" ")).join("L")}Z` }, layer)
  const above = toRoof(shadow, 0, -hh - 26 / camera.scale)
  const [tx, ty] = px(toRoof(shadow, 0, -hh))
  const [ax, ay] = px(above)
  svg("path", { class: "handle-frame", d: `M${tx} ${ty}L${ax} ${ay}` }, layer)
  handle(above, "turn", "grab", words.turn)
  for (const [sx, sy] of [[-1, -1], [1, -1], [1, 1], [-1, 1]]) handle(toRoof(shadow, sx * hw, sy * hh), `${sx} ${sy}`, "nwse-resize", words.resize)
}
