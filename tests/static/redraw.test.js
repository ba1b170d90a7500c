import assert from "node:assert/strict"
import { test } from "node:test"

import { makeRedraw } from "../../static/lesson/redraw.js"

test("a part is drawn anew when its values change, and not before", () => {
  const { keep, forget } = makeRedraw()
  let times = 0
  const part = (values) => keep("part", values, (now) => ({ now, time: ++times }))
  const first = part({ a: [1, 2] })
  assert.equal(part({ a: [1, 2] }), first)
  assert.deepEqual(part({ a: [1, 3] }), { now: { a: [1, 3] }, time: 2 })
  assert.notEqual(keep("other", { a: [1, 3] }, () => ({})), first)
  forget()
  assert.equal(part({ a: [1, 3] }).time, 3, "of another page")
})
