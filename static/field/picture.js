// @ts-check
// The last infrared picture: pixels on a canvas, a scale below, and what the pixel under the pointer shows.

import { el } from "../shared/elements.js"

// From dark blue over grey to yellow: even steps for the eye, told apart by those who confuse red and green.
const RAMP = [[0, 34, 78], [65, 77, 107], [124, 123, 120], [188, 175, 111], [255, 234, 70]]

/**
 * The colour of a shade from 0 to 255.
 * @param {number} shade
 */
export function colourOf(shade) {
  const at = (shade / 255) * (RAMP.length - 1)
  const k = Math.min(Math.floor(at), RAMP.length - 2)
  return RAMP[k].map((low, channel) => Math.round(low + (RAMP[k + 1][channel] - low) * (at - k)))
}

/** @param {Field.Words} words */
export function makePicture(words) {
  const canvas = el("canvas", { role: "img", tabindex: 0 })
  const value = el("output")
  const least = el("span"), most = el("span")
  const said = el("figcaption", { class: "small" })
  const about = el("p", { class: "quiet small" })
  const element = el("details", { class: "part", open: true, hidden: true },
    el("summary", { class: "caps" }, words.picture),
    el("figure", { class: "infrared" }, canvas,
      el("div", { class: "infrared__scale" }, least, el("span", { class: "infrared__ramp", title: words.picture_hint }), most, value), said),
    about)
  /** @type {Field.Picture | null} */
  let shown = null
  let bytes = new Uint8Array()
  let column = 0, row = 0

  const read = () => {
    if (!shown) return
    const shade = bytes[row * shown.columns + column]
    value.textContent = `${shade ? "" : "≤ "}${text(shown.least + (shade / 255) * (shown.most - shown.least))}`
  }
  canvas.addEventListener("pointermove", (event) => {
    if (!shown) return
    // The pixels keep their shape within the element: what is left over lies on both sides.
    const box = canvas.getBoundingClientRect()
    const scale = Math.min(box.width / shown.columns, box.height / shown.rows)
    const x = (event.clientX - box.left - (box.width - scale * shown.columns) / 2) / scale
    const y = (event.clientY - box.top - (box.height - scale * shown.rows) / 2) / scale
    if (x < 0 || y < 0 || x >= shown.columns || y >= shown.rows) return
    ;[column, row] = [Math.floor(x), Math.floor(y)]
    read()
  })
  canvas.addEventListener("keydown", (event) => {
    const step = STEPS[event.key]
    if (!step || !shown) return
    event.preventDefault()
    const far = event.shiftKey ? 10 : 1
    column = Math.max(0, Math.min(shown.columns - 1, column + far * step[0]))
    row = Math.max(0, Math.min(shown.rows - 1, row + far * step[1]))
    read()
    canvas.setAttribute("aria-description", value.textContent ?? "")
  })

  return {
    element,
    /** @param {Field.Picture | Record<string, never>} picture */
    show(picture) {
      if (!("rows" in picture)) {
        shown = null
        return
      }
      const taken = /** @type {Field.Picture} */ (picture)
      shown = taken
      bytes = Uint8Array.from(atob(taken.shades), (letter) => letter.charCodeAt(0))
      canvas.width = taken.columns
      canvas.height = taken.rows
      const context = canvas.getContext("2d")
      if (context) {
        const image = context.createImageData(taken.columns, taken.rows)
        bytes.forEach((shade, k) => image.data.set([...colourOf(shade), 255], 4 * k))
        context.putImageData(image, 0, 0)
      }
      least.textContent = text(taken.least)
      most.textContent = text(taken.most)
      value.textContent = ""
      said.textContent = `${taken.where}: ${taken.said}`
      about.textContent = taken.about
      canvas.setAttribute("aria-label", `${words.picture}, ${taken.where}: ${taken.said}`)
      const hottest = bytes.indexOf(255)
      ;[column, row] = [hottest % taken.columns, Math.floor(hottest / taken.columns)]
    },
  }
}

/** @type {Record<string, [number, number] | undefined>} */
const STEPS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }

/** @param {number} temperature_C */
const text = (temperature_C) => `${temperature_C.toFixed(1).replace(".", document.documentElement.dataset.decimal ?? ".")}\u202f°C`
