// @ts-check
// Places for labels, so that none lies on another one, on a point, or beyond the frame. The algorithm is
// told in pvsim/files/figure/placer.py, which does the same; tests/files/figure/label_cases.json holds both to it.

const SIDES = [
  [1, -1], [-1, -1], [1, 1], [-1, 1], [0, -1], [0, 1], [1, 0], [-1, 0],
]
const BETWEEN = [[0.5, -1], [-0.5, -1], [0.5, 1], [-0.5, 1]] // tried last
const GAPS = [7, 14, 24, 38, 47, 56, 68, 80, 95, 110, 127, 145]
const ROUNDS = 3 // labels that chose first choose again once the others have a place
const DEAREST = 260 // what a place may cost, unless the label must stand
const WAY = [0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9]
const CROSSING = 30, CROSSING_GUIDE = 10 // of its way by a line, and by a guide, each time
const THROUGH = 75 // words or a box that a way leads through, each time
const TOUCHED = 60, COVERED = 9, COVERED_FAR = 14 // for each line that it lies on; for each point of it
const CROWDED = 150, FAR = 40, STEP_PX = 8
const CLEAR_PX = 2 // between two labels, and between a label and a point
const BESIDE_PX = 3 // between a line and a label's sides; above and below it its letters leave as much
const DISPLACED = 1e6 // more than anything else costs

/** @typedef {Labels.Place & { displaced: number }} Choice */

/** @param {Labels.Box} box */
const grown = (box) => ({ x: box.x - CLEAR_PX, y: box.y - CLEAR_PX, width: box.width + 2 * CLEAR_PX, height: box.height + 2 * CLEAR_PX })

/**
 * @param {Labels.Box} a
 * @param {Labels.Box} b
 */
const meet = (a, b) => a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height

/**
 * @param {number} least
 * @param {number} most
 * @param {number} value
 */
const within = (least, most, value) => Math.max(least, Math.min(most, value))

// Not Math.hypot, whose last digit is not the same everywhere.
/**
 * @param {number} x
 * @param {number} y
 */
const length = (x, y) => Math.sqrt(x * x + y * y)

/**
 * Places for labels.
 * @param {Labels.Wish[]} wishes in the order in which they choose
 * @param {Labels.Box} frame
 * @param {number[][][]} lines curves and axes, each as points a few px apart
 * @param {Labels.Box[]} taken boxes that no label may touch
 * @param {number[][][]} [guides] thin or dotted lines, given as the others, which the ways to points may cross
 * @returns {(Labels.Place | null)[]} null where there is no room
 */
export function place(wishes, frame, lines, taken, guides = []) {
  const drawn = [...lines.map((points) => ({ points, cost: CROSSING })), ...guides.map((points) => ({ points, cost: CROSSING_GUIDE }))]
  const kept = taken.map(grown)
  const rank = ranks(wishes)
  /** @type {(Labels.Place | null)[]} */
  const places = wishes.map(() => null)
  const gone = new Set()
  const by_rank = [...wishes.keys()].sort((a, b) => rank[a] - rank[b])
  /** @param {number} k */
  const choose = (k) => {
    const others = wishes.map((_one, n) => (n === k ? null : places[n]))
    const best = bestPlace(wishes[k], frame, drawn, kept, others.map((one, n) => one && { ...grown(one), lesser: rank[n] > rank[k] }), others.flatMap((one, n) => (one ? [way(one, wishes[n])] : [])))
    if (!best) return false
    const here = { x: best.x, y: best.y, width: best.width, height: best.height, cost: best.cost }
    others.forEach((one, n) => { if (one && meet(here, grown(one))) places[n] = null })
    places[k] = here
    return true
  }
  for (;;) {
    for (let round = 0; round < ROUNDS; round++) {
      for (const k of wishes.keys()) if (!gone.has(k)) choose(k)
    }
    while (by_rank.some((k) => !gone.has(k) && !places[k] && choose(k)));
    const dear = by_rank.findLast((k) => !wishes[k].must && (places[k]?.cost ?? 0) > DEAREST)
    if (dear === undefined) return places
    gone.add(dear)
    places[dear] = null
  }
}

// What must stand counts for more than what need not; else what chooses first does.
/** @param {Labels.Wish[]} wishes */
function ranks(wishes) {
  const order = [...wishes.keys()]
  const sorted = [...order.filter((k) => wishes[k].must), ...order.filter((k) => !wishes[k].must)]
  return order.map((k) => sorted.indexOf(k))
}

/**
 * @param {Labels.Wish} wish
 * @param {Labels.Box} frame
 * @param {{ points: number[][], cost: number }[]} drawn
 * @param {Labels.Box[]} kept
 * @param {((Labels.Box & { lesser: boolean }) | null)[]} others
 * @param {number[][][]} ways of the others
 * @returns {Choice | null}
 */
function bestPlace(wish, frame, drawn, kept, others, ways) {
  const { width, height } = wish
  const [left, right] = [frame.x + 1, frame.x + frame.width - 4 - width]
  const [top, bottom] = [frame.y, frame.y + frame.height - 1 - height]
  if (right < left || bottom < top) return null
  const about = [...kept, ...others.filter((one) => one !== null)]
  const passed = about.filter((one) => !leads([[wish.x, wish.y]], one)) // all but what lies on the point itself
  /** @type {Choice | null} */
  let best = null
  /** @type {(x: number, y: number, cost: number) => void} */
  const consider = (x, y, cost) => {
    const most = best ? best.cost + DISPLACED * best.displaced : Infinity
    if (cost >= most) return
    const here = { x, y, width, height }
    if (kept.some((one) => meet(here, one))) return
    let displaced = 0
    for (const one of others) {
      if (!one || !meet(here, one)) continue
      if (!one.lesser) return
      displaced += 1
    }
    const own = way(here, wish)
    cost += THROUGH * (passed.filter((one) => leads(own, one)).length + ways.filter((one) => leads(one, here)).length)
    if (cost + DISPLACED * displaced >= most) return
    let touched = 0, covered = 0, crossed = 0
    for (const { points, cost: each } of drawn) {
      const before = covered
      for (const [px, py] of points) if (px > x - BESIDE_PX && px < x + width + BESIDE_PX && py > y && py < y + height) covered += 1
      if (covered > before) touched += 1
      crossed += each * crossings(own, points)
    }
    cost += TOUCHED * touched + (wish.far ? COVERED_FAR : COVERED) * covered
    cost += crossed
    if (cost + DISPLACED * displaced < most) best = { ...here, cost, displaced }
  }
  const prefer = wish.prefer?.length ? wish.prefer : [...SIDES.keys()]
  const sides = [...prefer.map((side) => SIDES[side]), ...(wish.near ? [] : BETWEEN)]
  for (const gap of wish.near ? GAPS.slice(0, 1) : GAPS) {
    for (const [order, [sx, sy]] of sides.entries()) {
      const wanted = {
        x: wish.x + sx * gap * (sy ? 0.75 : 1) - width * (0.5 - sx / 2),
        y: wish.y + sy * gap * (sx ? 0.75 : 1) - height * (0.5 - sy / 2),
      }
      const x = within(left, right, wanted.x), y = within(top, bottom, wanted.y)
      const moved = length(x - wanted.x, y - wanted.y)
      if (!wish.near || moved <= gap) consider(x, y, order * 1.5 + gap * 0.6 + 4 * moved)
    }
  }
  const found = /** @type {Choice | null} */ (best)
  if (wish.near || (found && !found.displaced && found.cost <= CROWDED)) return found
  for (let y = top; y <= bottom; y += STEP_PX) {
    for (let x = left; x <= right; x += 2 * STEP_PX) {
      consider(x, y, FAR + 0.6 * length(x + width / 2 - wish.x, y + height / 2 - wish.y))
    }
  }
  return best
}

// Points along the straight way from a place to the label's point.
/**
 * @param {Labels.Box} here
 * @param {{ x: number, y: number }} point
 */
function way(here, point) {
  const x = within(here.x, here.x + here.width, point.x), y = within(here.y, here.y + here.height, point.y)
  return WAY.map((t) => [x + t * (point.x - x), y + t * (point.y - y)])
}

/**
 * Whether a way leads through a box.
 * @param {number[][]} way
 * @param {Labels.Box} box
 */
const leads = (way, box) => way.some(([x, y]) => x > box.x && x < box.x + box.width && y > box.y && y < box.y + box.height)

/**
 * How often a line crosses a way; what it does at the way's point itself, where that ends, does not count.
 * @param {number[][]} way
 * @param {number[][]} line
 */
function crossings(way, line) {
  const here = way[0], there = way[way.length - 1]
  let count = 0
  for (let k = 1; k < line.length; k++) {
    const start = line[k - 1], end = line[k]
    if (side(here, there, start) > 0 === side(here, there, end) > 0) continue
    if (side(start, end, here) > 0 !== side(start, end, there) > 0) count += 1
  }
  return count
}

/** On which side of a line, from its start to its end, a place lies, by its sign.
 * @type {(start: number[], end: number[], at: number[]) => number} */
const side = (start, end, at) => (end[0] - start[0]) * (at[1] - start[1]) - (end[1] - start[1]) * (at[0] - start[0])
