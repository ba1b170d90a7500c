import assert from "node:assert/strict"
import { readFileSync } from "node:fs"
import { test } from "node:test"

import { gradient, shade, table } from "../../static/roof/scales.js"

const KINDS = ["glass", "signed", "heat"]
const THEMES = ["light", "dark"]

/** Relative luminance of WCAG 2.2. */
const luminance = (channels) => {
  const [red, green, blue] = channels.map((one) => one / 255).map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4))
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue
}
const channelsOf = (colour) => colour.match(/\d+/g).map(Number)

for (const kind of KINDS) {
  for (const theme of THEMES) {
    test(`figures stand out from every colour of a scale: ${kind}, ${theme}`, () => {
      const css = readFileSync(new URL("../../static/roof/roof.css", import.meta.url), "utf8")
      const dark = /\.value\.dark[^{]*{ fill: #(\w{6})/.exec(css)[1]
      const inks = { true: luminance([0, 2, 4].map((at) => parseInt(dark.slice(at, at + 2), 16))), false: 1 }
      const { colours, darkInk } = table(kind, theme)
      assert.equal(colours.length, 256)
      colours.forEach((colour, k) => {
        const [low, high] = [luminance(channelsOf(colour)), inks[darkInk[k]]].sort((a, b) => a - b)
        assert.ok((high + 0.05) / (low + 0.05) >= 4.45, colour) // WCAG 2.2, 1.4.3: 4.5, less what rounding takes
      })
    })
  }
}

test("a scale is made once", () => {
  assert.equal(table("heat", "light"), table("heat", "light"))
})

test("scales of one hue and of heat grow lighter all the way", () => {
  for (const kind of ["glass", "heat"]) {
    for (const theme of THEMES) {
      const lights = table(kind, theme).colours.map((one) => luminance(channelsOf(one)))
      assert.ok(lights.every((one, k) => !k || one >= lights[k - 1] - 0.004), `${kind} ${theme}`) // what rounding takes
    }
  }
})

test("a plain scale runs from its low end to its high one, and what lies beyond is the end", () => {
  const scale = { kind: "glass", low: 0, high: 1000 }
  assert.deepEqual([-5, 0, 500, 1000, 1200].map((one) => shade(scale, one)), [0, 0, 128, 255, 255])
  assert.equal(shade({ kind: "heat", low: 20, high: 20 }, 20), 0)
})

test("a signed scale has 0 in its middle, whatever its ends", () => {
  const scale = { kind: "signed", low: -20, high: 0.8 }
  assert.deepEqual([-20, -10, 0, 0.4, 0.8].map((one) => shade(scale, one)), [0, 64, 128, 191, 255])
  assert.equal(shade({ kind: "signed", low: 0, high: 1 }, 0), 128)
})

test("a legend begins and ends with the ends of its scale", () => {
  const { colours } = table("signed", "dark")
  const css = gradient("signed", "dark")
  assert.ok(css.startsWith(`linear-gradient(90deg, ${colours[0]} 0.0%`))
  assert.ok(css.endsWith(`${colours[255]} 100.0%)`))
})
