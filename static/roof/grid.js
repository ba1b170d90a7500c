// @ts-check
// Going about by keys: rows of things, one of them in the tab order.

/**
 * The item a key leads to: `rows` as they lie, in px, `item` where one is.
 * @template {{ box: Roof.Box, kind: string }} T
 * @param {T[][]} rows
 * @param {T} item
 * @param {{ key: string, ctrlKey?: boolean }} event
 * @returns {T | null}
 */
export function stepFrom(rows, item, event) {
  const at = rows.findIndex((row) => row.includes(item))
  if (at < 0) return rows[0]?.[0] ?? null
  const row = rows[at]
  const k = row.indexOf(item)
  switch (event.key) {
    case "ArrowRight":
      return row[k + 1] ?? null
    case "ArrowLeft":
      return row[k - 1] ?? null
    case "ArrowDown":
      return nearest(rows[at + 1], item)
    case "ArrowUp":
      return nearest(rows[at - 1], item)
    case "Home":
      return event.ctrlKey ? rows[0][0] : row[0]
    case "End":
      return event.ctrlKey ? rows[rows.length - 1].at(-1) ?? null : row.at(-1) ?? null
  }
  return null
}

/**
 * @template {{ box: Roof.Box, kind: string }} T
 * @param {T[] | undefined} row
 * @param {T} item
 */
function nearest(row, item) {
  if (!row) return null
  const x = item.box.left + item.box.width / 2
  /** @param {T} one */
  const apart = (one) => Math.abs(one.box.left + one.box.width / 2 - x) + (one.kind === item.kind ? 0 : 0.5)
  const tie = 0.25 // px: of two that lie alike the first, however the drawing is rounded
  return row.reduce((best, one) => (apart(one) < apart(best) - tie ? one : best))
}

/**
 * Put the things of an upright rail beside the rows of cells they lie next to; others get a row of their own.
 * @template {{ box: Roof.Box }} T
 * @param {T[][]} rows
 * @param {T[]} items
 * @param {{ upright: boolean }} rail
 * @returns {T[][]}
 */
export function mergeRail(rows, items, rail) {
  if (!items.length) return rows
  /** @param {Roof.Box} box */
  const middle = (box) => box.top + box.height / 2
  if (!rail.upright) {
    const y = middle(items[0].box)
    const sorted = [...items].sort((a, b) => a.box.left - b.box.left)
    const before = rows.filter((row) => middle(row[0].box) < y)
    return [...before, sorted, ...rows.slice(before.length)]
  }
  const out = rows.map((row) => [...row])
  const taken = new Set()
  for (const item of [...items].sort((a, b) => a.box.top - b.box.top)) {
    const order = out.map((row, k) => /** @type {[number, number]} */ ([Math.abs(middle(row[0].box) - middle(item.box)), k])).sort((a, b) => a[0] - b[0])
    const [, k] = order.find(([, index]) => !taken.has(index)) ?? order[0]
    taken.add(k)
    out[k].push(item)
    out[k].sort((a, b) => a.box.left - b.box.left)
  }
  return out
}
