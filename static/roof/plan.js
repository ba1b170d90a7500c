// @ts-check
// Where everything lies on the roof, in mm: cells, modules, strings; and what lies under a point.

/**
 * Tables over a scene: first cell and first diode of every module, cells by number, rows of modules.
 * @param {Roof.Scene} scene
 * @returns {Roof.Plan}
 */
export function makePlan(scene) {
  /** @type {Roof.Module[]} */
  const modules = []
  let cell = 0
  let diode = 0
  scene.modules.forEach(([string, number, x, y, kind, row], index) => {
    const shape = scene.shapes[kind]
    modules.push({
      index, string, number, shape, row,
      left: x, top: y, width: shape.width, height: shape.height,
      cell, cells: shape.cells.length / 4, diode, diodes: shape.substrings.length,
    })
    cell += shape.cells.length / 4
    diode += shape.substrings.length
  })
  /** @type {Roof.Plan["strings"]} */
  const strings = []
  for (const module of modules) {
    while (strings.length < module.string) strings.push({ index: strings.length, number: strings.length + 1, modules: [] })
    strings[module.string - 1].modules.push(module)
  }
  /** @type {Roof.Module[][]} */
  const rows = []
  for (const module of modules) (rows[module.row] ??= []).push(module)
  return { scene, modules, strings, rows, cells: cell, diodes: diode, box: boxOf(modules) }
}

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
 * The module that holds a cell, given by its index over the whole array.
 * @param {Roof.Plan} plan
 * @param {number} cell
 */
export function moduleOfCell(plan, cell) {
  let low = 0
  let high = plan.modules.length - 1
  while (low < high) {
    const middle = (low + high + 1) >> 1
    if (plan.modules[middle].cell <= cell) low = middle
    else high = middle - 1
  }
  return plan.modules[low]
}

/**
 * The key of a module.
 * @param {{ string: number, number: number }} module
 */
export function moduleKey(module) {
  return `${module.string}/${module.number}`
}

/**
 * The module of a place, or undefined.
 * @param {Roof.Plan} plan
 * @param {Roof.Place} place
 * @returns {Roof.Module | undefined}
 */
export function moduleAt(plan, place) {
  return plan.strings[(place.string || 0) - 1]?.modules[(place.module || 0) - 1]
}

/**
 * Number (from 1) of the substring a cell (from 0, within the module) belongs to.
 * @param {Pick<Roof.Shape, "substrings">} shape
 * @param {number} local
 */
export function substringOf(shape, local) {
  return shape.substrings.findIndex((part) => local < part.first + part.count) + 1
}

/**
 * Left, top, width and height of a cell, in mm.
 * @param {Roof.Module} module
 * @param {number} local
 * @returns {Roof.Box}
 */
export function cellBox(module, local) {
  const c = module.shape.cells
  const at = local * 4
  return { left: module.left + c[at], top: module.top + c[at + 1], width: c[at + 2], height: c[at + 3] }
}

/**
 * The modules a straight stroke from p to q touches, in the order it meets them.
 * @param {Roof.Plan} plan
 * @param {Roof.Point} p
 * @param {Roof.Point} q
 */
export function modulesAlong(plan, p, q) {
  return inOrder(plan.modules.map((module) => /** @type {[number | null, Roof.Module]} */ ([enters(module, p, q), module])))
}

/**
 * The cells such a stroke touches; indices over the array.
 * @param {Roof.Plan} plan
 * @param {Roof.Point} p
 * @param {Roof.Point} q
 */
export function cellsAlong(plan, p, q) {
  /** @type {[number | null, number][]} */
  const met = []
  for (const module of modulesAlong(plan, p, q)) {
    for (let local = 0; local < module.cells; local++) {
      met.push([enters(cellBox(module, local), p, q), module.cell + local])
    }
  }
  return inOrder(met)
}

/**
 * @template T
 * @param {[number | null, T][]} met
 * @returns {T[]}
 */
function inOrder(met) {
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

/**
 * The module under a point, gaps not counted, or undefined.
 * @param {Roof.Plan} plan
 * @param {Roof.Point} point
 * @returns {Roof.Module | undefined}
 */
export function moduleUnder(plan, point) {
  return modulesAlong(plan, point, point)[0]
}

/**
 * The cell under a point (index over the array) or -1.
 * @param {Roof.Plan} plan
 * @param {Roof.Point} point
 */
export function cellUnder(plan, point) {
  const met = cellsAlong(plan, point, point)
  return met.length ? met[0] : -1
}
