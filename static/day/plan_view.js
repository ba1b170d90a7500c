// @ts-check
// The roof and what stands around it, from above, as the drawing has it.

import { svg } from "../shared/elements.js"

const ROOM_m = 1 // around everything

/**
 * @param {Day.Plan} plan
 * @returns {[number, number, number, number]} left, top, width, height in m
 */
export function boundsOf({ roofs, things }) {
  const xs = [...roofs.flatMap(([left, , right]) => [left, right]), ...things.flatMap((one) => one.filter((_v, k) => k % 2 === 0))]
  const ys = [...roofs.flatMap(([, top, , bottom]) => [top, bottom]), ...things.flatMap((one) => one.filter((_v, k) => k % 2 === 1))]
  if (!xs.length) return [0, 0, 1, 1]
  const left = Math.min(...xs) - ROOM_m, top = Math.min(...ys) - ROOM_m
  return [left, top, Math.max(...xs) + ROOM_m - left, Math.max(...ys) + ROOM_m - top]
}

/**
 * @param {Day.Plan} plan
 * @param {string} label
 */
export function drawPlan(plan, label) {
  const [left, top, width, height] = boundsOf(plan)
  const size = Math.max(width, height) / 16
  const least = Math.max(width, height) / 80 // a thin pole is still to be seen
  const picture = svg("svg", { class: "plan", role: "img", "aria-label": label, viewBox: `${left} ${top} ${width} ${height}` })
  for (const [l, t, r, b] of plan.roofs) picture.append(svg("rect", { class: "roof", x: l, y: t, width: r - l, height: b - t }))
  plan.things.forEach((flat, k) => {
    const points = []
    for (let i = 0; i < flat.length; i += 2) points.push(`${flat[i]} ${flat[i + 1]}`)
    const x = mean(flat, 0), y = mean(flat, 1)
    picture.append(svg("path", { class: "thing", d: `M${points.join("L")}Z`, "stroke-width": least }),
      svg("text", { x: x + size * 0.6, y: y + size * 0.35, "font-size": size }, String(k + 1)))
  })
  return picture
}

/** @type {(flat: number[], odd: number) => number} */
const mean = (flat, odd) => flat.reduce((sum, value, k) => sum + (k % 2 === odd ? value : 0), 0) / (flat.length / 2)
