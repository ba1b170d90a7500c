// @ts-check
import assert from "node:assert/strict"
import { test } from "node:test"
import { colourOf } from "../../static/field/picture.js"

test("a warmer pixel is a lighter one, from the first shade to the last", () => {
  // Relative luminance, WCAG 2.2.
  /** @param {number[]} colour */
  const light = (colour) => colour.map((one) => one / 255).map((one) => (one <= 0.04045 ? one / 12.92 : ((one + 0.055) / 1.055) ** 2.4))
    .reduce((sum, one, k) => sum + one * [0.2126, 0.7152, 0.0722][k], 0)
  for (let shade = 1; shade < 256; shade += 1) assert.ok(light(colourOf(shade)) > light(colourOf(shade - 1)) - 1e-3)
  assert.ok(light(colourOf(255)) > 5 * light(colourOf(30)))
})

test("the ends of the ramp are its own", () => {
  assert.deepEqual(colourOf(0), [0, 34, 78])
  assert.deepEqual(colourOf(255), [255, 234, 70])
})
