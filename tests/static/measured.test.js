import assert from "node:assert/strict"
import { test } from "node:test"

import { layPaper } from "./paper.js"

layPaper()
const { measuredLabel } = await import("../../static/roof/measured.js")

const words = { measured: "measured: {value}", measured_before: "measured before the change: {value}" }
const store = (read) => ({ words, now: { read } })

test("a module says what was read at it, and that this was before a change", () => {
  const d = store([[{ string: 1, module: 2 }, "17.3 V", false], [{ string: 1, module: 3 }, "8.4 V", true]])
  assert.equal(measuredLabel(d, { string: 1, number: 2 }), "measured: 17.3 V")
  assert.equal(measuredLabel(d, { string: 1, number: 3 }), "measured before the change: 8.4 V")
  assert.equal(measuredLabel(d, { string: 2, number: 3 }), "")
  assert.equal(measuredLabel(store(undefined), { string: 1, number: 2 }), "")
})
