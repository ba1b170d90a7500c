// What a part of the page has to say: the drawing's wishes, and those of the curves.

import assert from "node:assert/strict"
import { test } from "node:test"

import { makeGate as makeDesk } from "../../static/curves/gate.js"
import { makeGate, merge } from "../../static/roof/gate.js"

/** A gate of the drawing, with what it posted and a clock that runs when the test says so. */
function drawing() {
  const posted = []
  let timer = null
  const clock = { set: (run, ms) => (timer = { run, ms }), clear: (one) => { if (one === timer) timer = null } }
  const gate = makeGate((message) => posted.push(message), clock)
  return { gate, posted, wait: () => timer?.run(), timer: () => timer }
}
const turn = () => new Promise((done) => queueMicrotask(done))

test("what one event asks for goes in one message, in its order", async () => {
  const { gate, posted } = drawing()
  gate.say({ do: "show", focus: "1/1" })
  gate.say({ do: "paint", at: [1], to: 0, stroke: 1 })
  assert.equal(posted.length, 0)
  await turn()
  assert.deepEqual(posted, [{ number: 1, wishes: [{ do: "show", focus: "1/1" }, { do: "paint", at: [1], to: 0, stroke: 1 }] }])
})

test("at most one message is unanswered, and what waits is merged", async () => {
  const { gate, posted } = drawing()
  for (const cell of [1, 2, 3, 2]) {
    gate.say({ do: "paint", at: [cell], to: 0, stroke: 1 })
    await turn()
  }
  assert.deepEqual(posted.map((one) => one.wishes), [[{ do: "paint", at: [1], to: 0, stroke: 1 }]])
  assert.ok(gate.busy)
  gate.answered(1)
  assert.deepEqual(posted.at(-1), { number: 2, wishes: [{ do: "paint", at: [2, 3], to: 0, stroke: 1 }] })
  gate.answered(1) // an old answer opens nothing
  assert.ok(gate.busy)
  gate.answered(2)
  assert.ok(!gate.busy)
  assert.equal(gate.count, 2)
})

test("a long queue goes in several messages, none longer than the server takes", async () => {
  const { gate, posted } = drawing()
  for (let k = 0; k < 45; k++) gate.say({ do: k % 2 ? "lift" : "mend-all", k })
  await turn()
  gate.answered(1)
  gate.answered(2)
  assert.deepEqual(posted.map((one) => one.wishes.length), [20, 20, 5])
  assert.deepEqual(posted.flatMap((one) => one.wishes).map((one) => one.k), [...Array(45).keys()])
})

test("a message lost with its connection silences nothing", async () => {
  const { gate, posted, wait } = drawing()
  gate.say({ do: "lift" })
  await turn()
  gate.say({ do: "mend-all" })
  await turn()
  assert.equal(posted.length, 1)
  wait()
  assert.deepEqual(posted.at(-1), { number: 2, wishes: [{ do: "mend-all" }] })
})

test("a gate that is closed says nothing more", async () => {
  const { gate, posted, timer } = drawing()
  gate.say({ do: "lift" })
  await turn()
  gate.say({ do: "mend-all" })
  gate.close()
  assert.equal(timer(), null)
  await turn()
  gate.answered(1)
  assert.equal(posted.length, 1)
})

test("wishes merge with their like alone: same stroke, same shadow, one last place to look at", () => {
  const all = (...wishes) => wishes.reduce(merge, [])
  const paint = (cell, more) => ({ do: "paint", at: [cell], to: 0, stroke: 1, ...more })
  assert.equal(all(paint(1), paint(2)).length, 1)
  for (const other of [{ stroke: 2 }, { to: 1 }, { of: "module" }]) assert.equal(all(paint(1), paint(2, other)).length, 2)
  assert.deepEqual(all({ do: "shadow", index: 0, stroke: 1, x: 1, y: 1 }, { do: "shadow", index: 0, stroke: 1, x: 2 }), [{ do: "shadow", index: 0, stroke: 1, x: 2, y: 1 }])
  assert.equal(all({ do: "shadow", index: 0, x: 1 }, { do: "shadow", index: 1, x: 2 }).length, 2)
  assert.deepEqual(all({ do: "show", focus: "1", level: "string" }, { do: "show", focus: "2" }), [{ do: "show", focus: "2", level: "string" }])
  assert.equal(all({ do: "show", focus: "1" }, { do: "lift" }, { do: "show", focus: "2" }).length, 3)
})

test("what was handed over is left alone", () => {
  const first = { do: "paint", at: [1], to: 0 }
  const waiting = merge([], first)
  merge(waiting, { do: "paint", at: [2], to: 0 })
  assert.deepEqual(first.at, [1])
  assert.deepEqual(waiting[0].at, [1, 2])
})

test("the curves say the last word on each thing, one message at a time", (t) => {
  t.mock.timers.enable({ apis: ["setTimeout"] })
  const posted = []
  const gate = makeDesk((message) => posted.push(message))
  gate.say({ level: "module" })
  gate.say({ view: "curve" })
  gate.say({ level: "string" })
  gate.say({ level: "array" })
  assert.deepEqual(posted, [{ level: "module", number: 1 }])
  assert.ok(gate.busy())
  gate.answered(1)
  assert.deepEqual(posted.at(-1), { view: "curve", level: "array", number: 2 })
  gate.answered(1)
  assert.ok(gate.busy())
  gate.say({ fit: true })
  t.mock.timers.tick(7999)
  assert.equal(posted.length, 2)
  t.mock.timers.tick(1) // no answer: the connection was lost
  assert.deepEqual(posted.at(-1), { fit: true, number: 3 })
  gate.say({ fit: false })
  gate.close()
  t.mock.timers.tick(60000)
  gate.answered(3)
  assert.equal(posted.length, 3)
})
