import assert from "node:assert/strict"
import { afterEach, beforeEach, test } from "node:test"

import { between, eased, framing, makeTraveller } from "../../static/roof/camera.js"

const seen = (camera, x, y) => [x * camera.scale + camera.x, y * camera.scale + camera.y]

test("a box fills its room in one direction and stands in the middle of the other", () => {
  const camera = framing({ left: 100, top: 50, width: 200, height: 50 }, { left: 10, top: 20, width: 400, height: 400 })
  assert.equal(camera.scale, 2)
  assert.deepEqual(seen(camera, 100, 50), [10, 170])
  assert.deepEqual(seen(camera, 300, 100), [410, 270])
})

test("on the way the scale changes by factor, one point stands still, and the end is the end", () => {
  const from = { scale: 1, x: 0, y: 0 }
  const to = { scale: 4, x: -300, y: -150 }
  assert.deepEqual(between(from, to, 0), from)
  assert.equal(between(from, to, 1), to)
  assert.equal(between(from, to, 0.5).scale, 2)
  for (const t of [0.1, 0.5, 0.9]) {
    const [x, y] = seen(between(from, to, t), 100, 50)
    assert.ok(Math.hypot(x - 100, y - 50) < 1e-9)
  }
  assert.deepEqual(between(from, { scale: 1, x: 10, y: 20 }, 0.5), { scale: 1, x: 5, y: 10 })
})

test("it is slow at both ends and never goes back", () => {
  assert.deepEqual([0, 0.5, 1].map(eased), [0, 0.5, 1])
  const steps = [...Array(101).keys()].map((k) => eased(k / 100))
  const apart = steps.slice(1).map((one, k) => one - steps[k])
  assert.ok(apart.every((one) => one > 0))
  assert.ok(apart[0] < apart[50] / 10 && apart[99] < apart[50] / 10)
})

// A traveller asks the browser for frames; here they come when the test says so.
let due, number
const frame = (time) => {
  const runs = [...due.values()]
  due.clear()
  for (const run of runs) run(time)
}

beforeEach((t) => {
  due = new Map()
  number = 0
  globalThis.requestAnimationFrame = (run) => {
    due.set(++number, run)
    return number
  }
  globalThis.cancelAnimationFrame = (one) => due.delete(one)
  t.mock.method(performance, "now", () => 1000)
})
afterEach(() => {
  delete globalThis.requestAnimationFrame
  delete globalThis.cancelAnimationFrame
})

const NEAR = { scale: 4, x: -300, y: -150 }
const FAR = { scale: 1, x: 0, y: 0 }

function setOff() {
  const told = []
  let arrivals = 0
  const traveller = makeTraveller((camera) => told.push(camera), () => { arrivals += 1 })
  traveller.go(FAR, 400) // from nowhere: at once
  return { traveller, told, arrivals: () => arrivals }
}

test("the first view is there at once, and so is any that takes no time", () => {
  const { traveller, told, arrivals } = setOff()
  assert.deepEqual([told, arrivals()], [[FAR], 1])
  traveller.go(NEAR, 0)
  assert.deepEqual([traveller.now, arrivals(), due.size], [NEAR, 2, 0])
})

test("a journey takes its time and ends where it was to end", () => {
  const { traveller, told, arrivals } = setOff()
  traveller.go(NEAR, 400)
  frame(1200)
  assert.equal(told.at(-1).scale, 2)
  assert.equal(arrivals(), 1)
  frame(1400)
  assert.deepEqual([told.at(-1), arrivals(), due.size], [NEAR, 2, 0])
})

test("whoever turns round on the way sets off from where they are", () => {
  const { traveller, told } = setOff()
  traveller.go(NEAR, 400)
  frame(1200)
  traveller.go(FAR, 400)
  frame(1000)
  assert.equal(told.at(-1).scale, 2)
  frame(1400)
  assert.equal(traveller.now, FAR)
})

test("a journey that is finished early is over, and one that never began does nothing", () => {
  const { traveller, told, arrivals } = setOff()
  traveller.finish()
  assert.equal(arrivals(), 1)
  traveller.go(NEAR, 400)
  traveller.finish()
  assert.deepEqual([told.at(-1), arrivals()], [NEAR, 2])
  frame(1100)
  assert.equal(told.at(-1), NEAR)
})
