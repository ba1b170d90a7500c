// What a part of the page has to say: one message at a time, and how what waits is put together.

import assert from "node:assert/strict"
import { beforeEach, test } from "node:test"

import { merge } from "../../static/roof/merge.js"
import { inOrder, lastWord, makeOutbox } from "../../static/shared/outbox.js"

beforeEach(() => {
  globalThis.document = /** @type {any} */ (new EventTarget())
})

/** An outbox, what it posted, a server that says what the test has it say, and a clock that runs when told. */
function parcel(options = {}) {
  const posted = []
  const ears = []
  let timer = null
  const clock = {
    set: (run, ms) => (timer = { run, ms }),
    clear: (one) => {
      if (one === timer) timer = null
    },
  }
  const model = { send_msg: (message) => posted.push(message), on: (_what, run) => ears.push(run) }
  const outbox = makeOutbox(model, { clock, ...options })
  return {
    outbox,
    posted,
    told: (message) => ears.forEach((run) => run(message)),
    answer: (answered, more = {}) => ears.forEach((run) => run({ answered, ...more })),
    wait: () => timer?.run(),
    timer: () => timer,
  }
}
const turn = () => new Promise((done) => queueMicrotask(done))
const all = (rule, ...wishes) => {
  const waiting = []
  for (const one of wishes) rule(waiting, one)
  return waiting
}

test("what one event asks for goes in one message, in its order", async () => {
  const { outbox, posted } = parcel()
  outbox.say({ do: "show", focus: "1/1" })
  outbox.say({ do: "paint", at: [1], to: 0, stroke: 1 })
  assert.equal(posted.length, 0)
  await turn()
  const wishes = [{ do: "show", focus: "1/1" }, { do: "paint", at: [1], to: 0, stroke: 1 }]
  assert.deepEqual(posted, [{ number: 1, wishes }])
})

test("what cannot wait for the end of the event is sent at once, and not again", async () => {
  const { outbox, posted } = parcel()
  outbox.say({ do: "show" })
  outbox.flush()
  assert.equal(posted.length, 1)
  await turn()
  assert.equal(posted.length, 1)
})

test("at most one message is unanswered, and what waits is put together", async () => {
  const { outbox, posted, answer } = parcel({ merge })
  for (const cell of [1, 2, 3, 2]) {
    outbox.say({ do: "paint", at: [cell], to: 0, stroke: 1 })
    await turn()
  }
  assert.deepEqual(posted.map((one) => one.wishes), [[{ do: "paint", at: [1], to: 0, stroke: 1 }]])
  assert.ok(outbox.busy)
  answer(1)
  assert.deepEqual(posted.at(-1), { number: 2, wishes: [{ do: "paint", at: [2, 3], to: 0, stroke: 1 }] })
  answer(1) // an old answer opens nothing
  assert.ok(outbox.busy)
  answer(2)
  assert.ok(!outbox.busy)
})

test("a long queue goes in several messages, none longer than the server takes", async () => {
  const { outbox, posted, answer } = parcel()
  for (let k = 0; k < 45; k++) outbox.say({ do: k % 2 ? "free" : "mend-all", k })
  await turn()
  answer(1)
  answer(2)
  assert.deepEqual(posted.map((one) => one.wishes.length), [20, 20, 5])
  assert.deepEqual(posted.flatMap((one) => one.wishes).map((one) => one.k), [...Array(45).keys()])
})

test("an answer is heard after the next message has gone, and so is what nobody asked for", async () => {
  const heard = []
  const { outbox, posted, answer, told } = parcel({ heard: (message) => heard.push([message, posted.length, outbox.busy]) })
  outbox.say({ do: "save" })
  await turn()
  outbox.say({ do: "link" })
  told({ news: true })
  assert.deepEqual(heard.pop(), [{ news: true }, 1, true])
  answer(1, { file: "a.toml" })
  assert.deepEqual(heard.pop(), [{ answered: 1, file: "a.toml" }, 2, true])
  answer(2)
  assert.deepEqual(heard.pop(), [{ answered: 2 }, 2, false])
  assert.deepEqual(heard, [])
})

test("one can ask what is under way", async () => {
  const { outbox, answer } = parcel()
  outbox.say({ do: "recall" })
  await turn()
  outbox.say({ do: "open" })
  assert.deepEqual(["recall", "open", "turn"].map(outbox.holds), [true, true, false])
  answer(1)
  assert.deepEqual(["recall", "open"].map(outbox.holds), [false, true])
  answer(2)
  assert.ok(!outbox.holds("open"))
})

test("a message lost with its connection silences nothing, and is waited for no longer than that", async () => {
  const { outbox, posted, answer, wait, timer } = parcel()
  outbox.say({ do: "free" })
  await turn()
  assert.equal(timer().ms, 8000)
  outbox.say({ do: "mend-all" })
  await turn()
  assert.equal(posted.length, 1)
  wait()
  assert.deepEqual(posted.at(-1), { number: 2, wishes: [{ do: "mend-all" }] })
  answer(1) // late, and of what has been given up
  assert.ok(outbox.busy)
  answer(2)
  assert.ok(!outbox.busy)
  assert.equal(timer(), null)
})

test("a connection that is back is used at once", async () => {
  const { outbox, posted } = parcel()
  outbox.say({ do: "next" })
  await turn()
  outbox.say({ do: "back" })
  document.dispatchEvent(new Event("pvsim:connected"))
  assert.deepEqual(posted.map((one) => one.wishes[0].do), ["next", "back"])
})

test("an outbox that is closed says nothing more and hears nothing", async () => {
  const heard = []
  const { outbox, posted, answer, timer } = parcel({ heard: (message) => heard.push(message) })
  outbox.say({ do: "free" })
  await turn()
  outbox.say({ do: "mend-all" })
  outbox.close()
  assert.equal(timer(), null)
  outbox.say({ do: "free" })
  document.dispatchEvent(new Event("pvsim:connected"))
  await turn()
  answer(1)
  assert.equal(posted.length, 1)
  assert.deepEqual(heard, [])
})

test("in order: none is lost, none overtakes another", () => {
  assert.deepEqual(all(inOrder, { do: "next" }, { do: "back" }, { do: "next" }).map((one) => one.do), ["next", "back", "next"])
})

test("the last word on each thing wins, and comes where it was said", () => {
  const said = all(lastWord, { do: "level", value: 1 }, { do: "view", value: "a" }, { do: "level", value: 2 })
  assert.deepEqual(said, [{ do: "view", value: "a" }, { do: "level", value: 2 }])
})

test("a press counts each time, and what is set before it is not put after it", () => {
  const undo = { do: "undo", value: null }, slide = (value) => ({ do: "slide", value })
  assert.deepEqual(all(lastWord, undo, undo), [undo, undo])
  assert.deepEqual(all(lastWord, slide(1), slide(2), undo, slide(3), slide(4)), [slide(2), undo, slide(4)])
})

test("of two strokes neither end is lost, and each keeps its own last word", () => {
  const stroke = (value) => ({ do: "stroke", value }), slide = (value) => ({ do: "slide", value })
  const said = [stroke("begin"), slide(1), slide(2), stroke("end"), stroke("begin"), slide(3), slide(4), stroke("end")]
  assert.deepEqual(all(lastWord, ...said), said.filter((one) => ![1, 3].includes(one.value)))
})

test("the drawing's wishes merge with their like alone: same stroke, same shadow, one last place to look at", () => {
  const put = (...wishes) => all(merge, ...wishes)
  const paint = (cell, more) => ({ do: "paint", at: [cell], to: 0, stroke: 1, ...more })
  assert.equal(put(paint(1), paint(2)).length, 1)
  for (const other of [{ stroke: 2 }, { to: 1 }, { of: "module" }]) assert.equal(put(paint(1), paint(2, other)).length, 2)
  assert.deepEqual(put({ do: "shadow", index: 0, stroke: 1, x: 1, y: 1 }, { do: "shadow", index: 0, stroke: 1, x: 2 }), [{ do: "shadow", index: 0, stroke: 1, x: 2, y: 1 }])
  assert.equal(put({ do: "shadow", index: 0, x: 1 }, { do: "shadow", index: 1, x: 2 }).length, 2)
  assert.deepEqual(put({ do: "show", focus: "1", level: "string" }, { do: "show", focus: "2" }), [{ do: "show", focus: "2", level: "string" }])
  assert.equal(put({ do: "show", focus: "1" }, { do: "free" }, { do: "show", focus: "2" }).length, 3)
})

test("what was handed over to the drawing's rule is left alone", () => {
  const first = { do: "paint", at: [1], to: 0 }
  const waiting = all(merge, first, { do: "paint", at: [2], to: 0 })
  assert.deepEqual(first.at, [1])
  assert.deepEqual(waiting[0].at, [1, 2])
})
