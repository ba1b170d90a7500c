// @ts-check
// Where things lie on the picture of power against time: scales, round numbers, paths.

const STEPS = [1, 2, 5, 10]
const HOURS = [1, 2, 3, 6]
const HEAD = 1.06 // the axis ends a little above the highest power

/**
 * Round values from 0 on, about `count` of them.
 * @param {number} most
 * @param {number} count
 */
export function roundValues(most, count) {
  if (!(most > 0)) return [0]
  const scale = 10 ** Math.floor(Math.log10(most / count))
  const step = scale * (STEPS.find((one) => one * scale >= most / count) ?? 10)
  return Array.from({ length: Math.floor(most / step + 1e-9) + 1 }, (_one, k) => k * step)
}

/**
 * Whole hours between two, as many as stand apart.
 * @param {number} least
 * @param {number} most
 * @param {number} count at most
 */
export function roundHours(least, most, count) {
  const step = HOURS.find((one) => Math.floor(most / one) - Math.ceil(least / one) + 1 <= count) ?? 6
  const first = Math.ceil(least / step) * step
  return Array.from({ length: Math.max(0, Math.floor((most - first) / step) + 1) }, (_one, k) => first + k * step)
}

/**
 * Where hours and powers lie in px.
 * @param {Day.Lines} lines
 * @param {Day.Frame} frame
 */
export function scalesOf({ hour, powers }, { left, top, width, height }) {
  const least = hour[0] ?? 0, most = hour.at(-1) ?? 1
  const highest = HEAD * Math.max(1, ...Object.values(powers).flatMap((one) => one.map((value) => value ?? 0)))
  const span = most - least || 1
  return {
    least, most, highest,
    x: (/** @type {number} */ value) => left + ((value - least) / span) * width,
    y: (/** @type {number} */ value) => top + height - (value / highest) * height,
    /** The time that lies nearest to a place on the screen.
     * @param {number} px */
    nearest(px) {
      const wanted = least + ((px - left) / width) * span
      let best = 0
      for (let k = 1; k < hour.length; k++) if (Math.abs(hour[k] - wanted) < Math.abs(hour[best] - wanted)) best = k
      return best
    },
  }
}

/**
 * A line through what is known of a curve; what is not known interrupts it.
 * @param {number[]} hour
 * @param {(number | null)[]} powers
 * @param {{ x: (hour: number) => number, y: (power: number) => number }} scales
 */
export function pathOf(hour, powers, { x, y }) {
  let pen = "M", path = ""
  powers.forEach((power, k) => {
    if (power === null) { pen = "M"; return }
    path += `${pen}${x(hour[k]).toFixed(1)} ${y(power).toFixed(1)}`
    pen = "L"
  })
  return path
}
