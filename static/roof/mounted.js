// @ts-check
// A mounted roof: places on its surfaces, what lies on them, and which of them a stroke meets.

import { boxOf, enters, inOrder } from "./boxes.js"

const BOX_mm = 300 // around the meeting box, so that it is in sight

/**
 * The places of a scene, with what is mounted on each.
 * @param {Roof.Mounting} mounting
 * @param {Roof.Module[]} modules as built
 * @param {Roof.Shape[]} shapes
 * @returns {Roof.Mounted}
 */
export function makeMounted(mounting, modules, shapes) {
  const { surfaces, routes } = mounting
  /** @type {Roof.Spot[]} */
  const spots = mounting.places.map(([surface, row, place, left, top, width, height], index) => ({
    index, at: [surface, row, place], name: `${surfaces[surface - 1].letter}/${row}/${place}`,
    left, top, width, height, module: null, spare: null,
  }))
  mounting.spots.forEach((at, k) => {
    if (at >= 0) spots[at].module = modules[k]
  })
  for (const [at, , , shape] of mounting.unwired) spots[at].spare = { shape: shapes[shape] }
  /** @type {Roof.Spot[][]} */
  const rows = []
  for (const spot of spots) {
    const last = rows[rows.length - 1]
    if (last && last[0].at[0] === spot.at[0] && last[0].at[1] === spot.at[1]) last.push(spot)
    else rows.push([spot])
  }
  const [x, y] = mounting.box
  const around = { left: x - BOX_mm, top: y - BOX_mm, width: 2 * BOX_mm, height: 2 * BOX_mm }
  return { spots, rows, surfaces, routes, box: { x, y }, whole: boxOf([...modules, ...spots, around]) }
}

/**
 * Whether anything is mounted on a spot.
 * @param {Roof.Spot} spot
 */
export const holds = (spot) => !!(spot.module || spot.spare)

/**
 * The spot under a point, or undefined.
 * @param {Roof.Mounted} mounted
 * @param {Roof.Point} point
 * @returns {Roof.Spot | undefined}
 */
export function spotUnder(mounted, point) {
  return spotsAlong(mounted, point, point)[0]
}

/**
 * The spots that a straight stroke touches, in the order it meets them.
 * @param {Roof.Mounted} mounted
 * @param {Roof.Point} p
 * @param {Roof.Point} q
 */
export function spotsAlong(mounted, p, q) {
  return inOrder(mounted.spots.map((spot) => /** @type {[number | null, Roof.Spot]} */ ([enters(spot, p, q), spot])))
}

/**
 * The spots of a string, from its minus to its plus.
 * @param {Roof.Plan} plan
 * @param {number} string from 1
 * @returns {Roof.Spot[]}
 */
export function spotsOfString(plan, string) {
  const mounted = /** @type {Roof.Mounted} */ (plan.mounted)
  const by = new Map(mounted.spots.flatMap((spot) => spot.module ? [/** @type {[Roof.Module, Roof.Spot]} */ ([spot.module, spot])] : []))
  return (plan.strings[string - 1]?.modules ?? []).flatMap((module) => by.get(module) ?? [])
}

/**
 * What a tool takes when it is pointed at one spot: that one, its row, or its string.
 * @param {Roof.Plan} plan
 * @param {Roof.Spot} spot
 * @param {Roof.Wire["scope"]} scope
 * @returns {Roof.Spot[]}
 */
export function taken(plan, spot, scope) {
  const mounted = /** @type {Roof.Mounted} */ (plan.mounted)
  if (scope === "row") return mounted.rows.find((row) => row.includes(spot)) ?? []
  if (scope === "string" && spot.module) return spotsOfString(plan, spot.module.string)
  return [spot]
}

/**
 * What a string has been drawn through once one more module is met: one met already is let go of with all that
 * came after it, but for the stroke that goes on over it.
 * @param {number[]} drawn indices of spots
 * @param {number} spot
 * @param {boolean} pressed whether a press begins on it
 * @returns {number[]}
 */
export function extended(drawn, spot, pressed) {
  const at = drawn.indexOf(spot)
  if (at < 0) return [...drawn, spot]
  return pressed ? drawn.slice(0, at) : drawn
}
