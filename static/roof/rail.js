// @ts-check
// The rail of a module's junction box: where its nodes, diodes and terminals lie, and what flows there.

/**
 * Where the rail of the junction box lies on the screen: nodes, diodes and the two terminals.
 * @param {Roof.Module} module
 * @param {Roof.Camera} camera
 * @param {{ width: number, height: number }} size of the stage
 * @returns {Roof.Rail}
 */
export function railOf(module, camera, size) {
  /** @type {(x: number, y: number) => [number, number]} */
  const seen = (x, y) => [(module.left + x) * camera.scale + camera.x, (module.top + y) * camera.scale + camera.y]
  const side = module.shape.rail
  const upright = side === "left" || side === "right" || side === "down"
  const [left, top] = seen(0, 0), [right, bottom] = seen(module.width, module.height)
  const box = { left, top, right, bottom }
  const ends = module.shape.substrings.map((part) => ({ a: seen(...part.a), b: seen(...part.b), diode: part.diode }))
  const inner = side === "across" || side === "down"
  const at = {
    top: box.top - 40, bottom: box.bottom + 40, left: box.left - 44, right: box.right + 44,
    across: ends[0].a[1], down: ends[0].a[0],
  }[side]
  /** @type {(node: number[]) => [number, number]} */
  const on = (node) => (upright ? [at, node[1]] : [node[0], at])
  /** @type {Roof.RailPart[]} */
  const parts = ends.map((part) => {
    const A = on(part.a), B = on(part.b)
    const angle = (Math.atan2(B[1] - A[1], B[0] - A[0]) * 180) / Math.PI
    return { ...part, A, B, middle: [(A[0] + B[0]) / 2, (A[1] + B[1]) / 2], angle }
  })
  const axis = upright ? 1 : 0
  const first = parts[0].A
  const last = parts[parts.length - 1].B
  const sign = last[axis] >= first[axis] ? 1 : -1
  const edge = upright ? [box.top, box.bottom] : [box.left, box.right]
  /** @type {(from: number[], way: number) => [number, number]} */
  const out = (from, way) => {
    const beyond = inner ? (way < 0 ? edge[0] - 22 : edge[1] + 22) : from[axis] + way * 44
    const most = upright ? size.height : size.width
    const held = Math.min(most - 15, Math.max(15, beyond))
    return upright ? [at, held] : [held, at]
  }
  return { side, upright, inner, at, parts, minus: out(first, -sign), plus: out(last, sign), first, last, box }
}

/**
 * How many lines farther out each label stands, so that neighbours too wide for their pitch do not run together.
 * @param {Pick<Roof.Rail, "parts" | "upright">} rail
 * @param {string[]} told the labels
 * @param {number} type its size, in px
 */
export function stepsOf({ parts, upright }, told, type) {
  const wide = told.map((text) => text.length * type * 0.6)
  /** @param {Roof.RailPart} part */
  const along = (part) => part.middle[upright ? 1 : 0]
  const steps = told.map(() => 0)
  parts.forEach((part, k) => {
    if (!k || upright || !part.diode) return
    const apart = Math.abs(along(part) - along(parts[k - 1]))
    if ((wide[k] + wide[k - 1]) / 2 + 5 > apart) steps[k] = steps[k - 1] ? 0 : 1
  })
  return steps
}

/**
 * What flows through the leads: a substring's chains and its diode together.
 * @param {Roof.Detail} detail
 * @param {Roof.Module} module
 */
export function terminalCurrent(detail, module) {
  const order = detail.diodes.indexOf(0)
  return chainCurrent(detail, module.shape.substrings[0]) + (order >= 0 ? detail.diode_current[order] : 0)
}

/**
 * What flows through the chains of a substring, its diode left aside.
 * @param {Roof.Detail} detail
 * @param {Roof.Part} part
 */
export function chainCurrent(detail, part) {
  let sum = 0
  let at = part.first
  for (const length of part.lengths) {
    sum += detail.current[at]
    at += length
  }
  return sum
}
