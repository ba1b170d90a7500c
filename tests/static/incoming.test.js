import assert from "node:assert/strict"
import { test } from "node:test"

import { kindOf } from "../../static/shared/incoming.js"

const CURVE = "Irradiance = 812 W/m2\nVoltage (V);Current (A)\n0,1;8,9\n"
const SCENARIO = "# A pvsim scenario\nformat = 1\n[array]\ntracking = \"one\"\n[[array.strings]]\n"

test("a name tells a scenario from a curve, whatever stands in the file", () => {
  assert.equal(kindOf("roof.toml", CURVE), "scenario")
  assert.equal(kindOf("ROOF.CSV", SCENARIO), "curve")
})
test("without such a name the first lines tell: a scenario has headings of TOML", () => {
  assert.equal(kindOf("roof.txt", SCENARIO), "scenario")
  assert.equal(kindOf("sweep.txt", CURVE), "curve")
  assert.equal(kindOf("sweep", "1;2\n3;4\n"), "curve")
})
