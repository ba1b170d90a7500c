import assert from "node:assert/strict"
import { afterEach, beforeEach, test } from "node:test"

import { leading, plain, writable, written } from "../../static/shared/number.js"
import { stepped } from "../../static/shell/number_field.js"

const german = () => { globalThis.document = { documentElement: { dataset: { decimal: "," } } } }
beforeEach(() => { globalThis.document = { documentElement: { dataset: {} } } })
afterEach(() => { delete globalThis.document })

test("a number is written with a true minus sign and the decimal mark of the page", () => {
  assert.equal(written("-1.5"), "\u22121.5")
  german()
  assert.equal(written(-1.5), "\u22121,5")
  assert.equal(writable(-1.5), "-1,5", "a field has the minus of the keyboard")
})

test("a rounded number has no zeros at its end", () => {
  assert.equal(plain(12.04), "12")
  assert.equal(plain(12.04, 4), "12.04")
  assert.equal(plain(-0.250001), "\u22120.25")
})

test("a number is read with point or comma, with either minus, with its unit behind it", () => {
  assert.deepEqual(["12,5", "12.5 W", " \u22123 °C", "+4", "-0.5"].map(leading), [12.5, 12.5, -3, 4, -0.5])
  for (const none of ["", "W", null, undefined]) assert.ok(Number.isNaN(leading(none)), `${none}`)
})

test("an arrow key goes on by one step from what stands in a field, and not beyond its bounds", () => {
  const spec = { least: -40, most: 90, step: 0.1 }
  assert.equal(stepped("0,2", 1, spec), 0.3, "no rest of the sum in binary")
  assert.equal(stepped("89,95", 1, spec), 90)
  assert.equal(stepped("-40", -1, spec), -40)
  assert.ok(Number.isNaN(stepped("warm", 1, spec)))
})
