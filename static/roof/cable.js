// @ts-check
// The drawn cables as things to point at: the string whose line is nearest to a point.

const REACH_PX = 9

/**
 * The pieces of a path of moves and straight lines, each as [x0, y0, x1, y1].
 * @param {string} path
 * @returns {Roof.Cable["lines"]}
 */
export function pieces(path) {
  /** @type {Roof.Cable["lines"]} */
  const out = []
  let x = 0
  let y = 0
  for (const [, act, first, second] of path.matchAll(/([MLHV])(-?[\d.]+)(?: (-?[\d.]+))?/g)) {
    const to = act === "H" ? [Number(first), y] : act === "V" ? [x, Number(first)] : [Number(first), Number(second)]
    const [x1, y1] = to
    if (act !== "M") out.push([x, y, x1, y1])
    x = x1
    y = y1
  }
  return out
}

/**
 * The key of the cable nearest to a point, or "" where none is within reach.
 * @param {Roof.Cable[] | undefined} cables
 * @param {{ px: number, py: number }} point
 */
export function cableUnder(cables, { px, py }) {
  let best = { key: "", distance: REACH_PX }
  for (const { key, lines } of cables ?? []) {
    for (const [x0, y0, x1, y1] of lines) {
      const length = (x1 - x0) ** 2 + (y1 - y0) ** 2
      const t = length ? Math.min(1, Math.max(0, ((px - x0) * (x1 - x0) + (py - y0) * (y1 - y0)) / length)) : 0
      const distance = Math.hypot(x0 + t * (x1 - x0) - px, y0 + t * (y1 - y0) - py)
      if (distance < best.distance) best = { key, distance }
    }
  }
  return best.key
}
