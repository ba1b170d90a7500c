// @ts-check
// Where everything lies on the roof, in mm: cells, modules, strings; and what lies under a point.

import { makeMounted } from "./mounted.js"
import { boxOf, enters, inOrder } from "./boxes.js"

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
  const mounted = scene.mounting && makeMounted(scene.mounting, modules, scene.shapes)
  return { scene, modules, strings, rows, cells: cell, diodes: diode, box: mounted?.whole ?? boxOf(modules), mounted }
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
