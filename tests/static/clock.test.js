import assert from "node:assert/strict"
import { test } from "node:test"

import { pace, stamp } from "../../static/lecture/clock.js"

test("a time is minutes and seconds, also beyond an hour; none is below nought", () => {
  assert.deepEqual([0, 5, 59.6, 754, 5400, -3].map(stamp), ["0:00", "0:05", "1:00", "12:34", "90:00", "0:00"])
})

test("half a minute off its cue a lecture is still on time, and beyond it late or early by the whole", () => {
  const cue = { from_s: 300, due_s: 600 }
  for (const now of [270, 300, 450, 600, 630]) assert.deepEqual(pace(now, cue), { is: "on_time", by_s: 0 }, `${now}`)
  assert.deepEqual(pace(631, cue), { is: "behind", by_s: 31 })
  assert.deepEqual(pace(200, cue), { is: "ahead", by_s: 100 })
})
