// @ts-check
// Power against time, drawn while it comes, with a mark at the time that the film shows.

import { svg } from "../shared/elements.js"
import { plain } from "../shared/number.js"
import { pathOf, roundHours, roundValues, scalesOf } from "./chart.js"

/** What is lost lies over what there would be. @type {Day.Name[]} */
const ORDER = ["open", "shaded", "followed", "power"]
const NUMBER_px = 3.6 // of type sizes, that a number of the clock takes

/**
 * @param {Day.Words} words
 * @param {(at: number) => void} choose is told which time was pointed at
 */
export function makePicture(words, choose) {
  const element = svg("svg", { class: "picture", role: "img", "aria-label": words.picture })
  /** @type {Day.Lines | null} */
  let lines = null
  /** @type {ReturnType<typeof scalesOf> | null} */
  let scales = null
  /** @type {Day.Frame} */
  let frame = { left: 0, top: 0, width: 1, height: 1 }
  let at = -1
  const mark = svg("g", { class: "mark" })

  const drawMark = () => {
    mark.replaceChildren()
    if (!lines || !scales || at < 0 || at >= lines.hour.length) return
    const x = scales.x(lines.hour[at])
    mark.append(svg("line", { x1: x, x2: x, y1: frame.top, y2: frame.top + frame.height }))
    for (const name of /** @type {Day.Name[]} */ (["followed", "power"])) {
      const power = lines.powers[name][at]
      if (power !== null) mark.append(svg("circle", { class: `dot ${name}`, cx: x, cy: scales.y(power), r: 4.5 }))
    }
  }
  const draw = () => {
    const { width, height } = element.getBoundingClientRect()
    element.replaceChildren()
    if (!width || !height || !lines?.hour.length) return
    const size = parseFloat(getComputedStyle(element).fontSize) || 12
    const gutter = parseFloat(getComputedStyle(element).getPropertyValue("--gutter")) || 52
    frame = { left: gutter, top: 4, width: Math.max(20, width - gutter - 10), height: Math.max(20, height - 1.6 * size - 8) }
    scales = scalesOf(lines, frame)
    element.setAttribute("viewBox", `0 0 ${width} ${height}`)
    const grid = svg("g", { class: "grid" }), bottom = frame.top + frame.height
    for (const value of roundValues(scales.highest, Math.max(1, Math.floor(frame.height / (2.2 * size))))) {
      const y = scales.y(value)
      grid.append(svg("line", { x1: frame.left, x2: frame.left + frame.width, y1: y, y2: y }),
        svg("text", { x: frame.left - 6, y: y + 0.35 * size, "text-anchor": "end" }, `${plain(value, 4)}${value ? "" : " W"}`))
    }
    for (const hour of roundHours(scales.least, scales.most, Math.floor(frame.width / (NUMBER_px * size)))) {
      const x = scales.x(hour)
      grid.append(svg("line", { x1: x, x2: x, y1: bottom, y2: bottom + 4 }),
        svg("text", { x, y: bottom + 4 + 1.05 * size, "text-anchor": "middle" }, `${String(hour).padStart(2, "0")}:00`))
    }
    const drawn = scales
    const paths = ORDER.map((name) => svg("path", { class: `line ${name}`, d: pathOf(lines?.hour ?? [], lines?.powers[name] ?? [], drawn) }))
    element.append(grid, ...paths, mark)
    drawMark()
  }
  /** @param {PointerEvent} event */
  const point = (event) => {
    if (scales) choose(scales.nearest(event.clientX - element.getBoundingClientRect().left))
  }
  element.addEventListener("pointerdown", (event) => {
    if (event.button) return
    element.setPointerCapture(event.pointerId)
    point(event)
  })
  element.addEventListener("pointermove", (event) => { if (element.hasPointerCapture(event.pointerId)) point(event) })
  const resized = new ResizeObserver(draw)
  resized.observe(element)

  return {
    element,
    /** @param {Day.Lines | null} now */
    show(now) {
      lines = now
      draw()
    },
    /** @param {number} now */
    mark(now) {
      if (now === at) return
      at = now
      drawMark()
    },
    /** @param {string} sentence */
    say(sentence) { element.setAttribute("aria-label", sentence ? `${words.picture}. ${sentence}` : words.picture) },
    close: () => resized.disconnect(),
  }
}
