import assert from "node:assert/strict"
import { test } from "node:test"

import { FRAME_MS, makeFilm } from "../../static/day/film.js"

/** A film of some times, on a clock that the test moves. */
function film(count) {
  let now = 0, due = null
  const shown = []
  const clock = { now: () => now, set: (run, ms) => (due = { run, at: now + ms }), clear: () => (due = null) }
  const made = makeFilm({ count: () => count, show: (at) => shown.push(at), changed: () => {}, clock })
  return {
    film: made, shown,
    pass(ms) {
      now += ms
      const one = due
      if (one && one.at <= now) { due = null; one.run() }
    },
  }
}

test("a film plays from its beginning, one time after the other, and ends at the last", () => {
  const { film: one, shown, pass } = film(3)
  one.play()
  assert.equal(one.playing, true)
  for (let k = 0; k < 5; k++) pass(FRAME_MS)
  assert.deepEqual(shown, [0, 1, 2])
  assert.equal(one.playing, false, "it stops where it ends")
  one.play()
  assert.equal(one.at, 0, "played again it begins anew")
})

test("on a slow machine times are left out, and the film is no longer for that", () => {
  const { film: one, shown, pass } = film(100)
  one.play()
  pass(10 * FRAME_MS)
  pass(10 * FRAME_MS)
  assert.deepEqual(shown, [0, 10, 20])
})

test("paused it stands where it was, and plays on from there", () => {
  const { film: one, shown, pass } = film(100)
  one.play()
  pass(5 * FRAME_MS)
  one.pause()
  pass(50 * FRAME_MS)
  assert.equal(one.at, 5)
  one.play()
  pass(FRAME_MS)
  assert.deepEqual(shown, [0, 5, 6])
})

test("who scrubs stops it, never leaves the day, and asks for each time once", () => {
  const { film: one, shown } = film(10)
  one.play()
  for (const at of [4, 4, 99, -3]) one.go(at)
  assert.equal(one.playing, false)
  assert.deepEqual(shown, [0, 4, 9, 0])
  one.leave()
  assert.equal(one.at, -1)
})

test("a day of which nothing is known yet shows nothing and does not play", () => {
  const { film: one, shown } = film(0)
  one.play()
  one.go(3)
  assert.deepEqual([shown, one.playing, one.at], [[], false, -1])
})
