// @ts-check
// Boxes: the one around others, and what a straight stroke does with them.

/**
 * The box around boxes.
 * @param {Roof.Box[]} parts
 * @returns {Roof.Box}
 */
export function boxOf(parts) {
  const left = Math.min(...parts.map((p) => p.left))
  const top = Math.min(...parts.map((p) => p.top))
  const right = Math.max(...parts.map((p) => p.left + p.width))
  const bottom = Math.max(...parts.map((p) => p.top + p.height))
  return { left, top, width: right - left, height: bottom - top }
}

/**
 * What a stroke meets, in the order it does so; null is not met.
 * @template T
 * @param {[number | null, T][]} met
 * @returns {T[]}
 */
export function inOrder(met) {
  return met.filter(([t]) => t !== null).sort((a, b) => Number(a[0]) - Number(b[0])).map(([, one]) => one)
}

/**
 * Where (0 to 1) the stretch from p to q enters a box, or null (Liang and Barsky's clipping).
 * @param {Roof.Box} box
 * @param {Roof.Point} p
 * @param {Roof.Point} q
 */
export function enters(box, p, q) {
  let t0 = 0
  let t1 = 1
  const dx = q.x - p.x
  const dy = q.y - p.y
  const sides = [
    [-dx, p.x - box.left],
    [dx, box.left + box.width - p.x],
    [-dy, p.y - box.top],
    [dy, box.top + box.height - p.y],
  ]
  for (const [along, room] of sides) {
    if (along === 0) {
      if (room < 0) return null
    } else if (along < 0) t0 = Math.max(t0, room / along)
    else t1 = Math.min(t1, room / along)
  }
  return t0 <= t1 ? t0 : null
}
