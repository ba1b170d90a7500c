import assert from "node:assert/strict"
import { readFileSync } from "node:fs"
import { test } from "node:test"

import { place } from "../../static/shared/placer.js"

// The same table holds the Python form of the algorithm: tests/files/figure/test_placer.py.
const CASES = JSON.parse(readFileSync(new URL("../files/figure/label_cases.json", import.meta.url), "utf8"))

for (const one of CASES) {
  test(`places are those of the table: ${one.name}`, () => {
    assert.deepEqual(place(one.wishes, one.frame, one.lines, one.taken, one.guides), one.places) // to the last digit
  })
}

/** Numbers by chance that are the same each time. */
const chance = (seed) => () => {
  seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0
  return seed / 2 ** 32
}
const meet = (a, b) => a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height

test("labels never lie on one another, on a point or beyond the frame", () => {
  for (let seed = 1; seed <= 150; seed++) {
    const random = chance(seed)
    const between = (low, high) => low + (high - low) * random()
    const frame = { x: 10, y: 5, width: between(30, 430), height: between(20, 310) }
    const spot = () => ({ x: between(0, 450), y: between(0, 330) })
    const wishes = [...Array(2 + (seed % 9))].map(() => ({ ...spot(), width: between(8, 160), height: between(9, 30), must: random() < 0.4, near: random() < 0.2 }))
    const taken = [...Array(seed % 5)].map(() => ({ ...spot(), width: 12, height: 12 }))
    const placed = place(wishes, frame, [[...Array(40)].map(() => [between(0, 450), between(0, 330)])], taken).filter(Boolean)
    placed.forEach((at, k) => {
      assert.ok(!placed.slice(k + 1).some((other) => meet(at, other)), `one another: ${seed}`)
      assert.ok(!taken.some((box) => meet(at, box)), `a point: ${seed}`)
      assert.ok(at.x >= frame.x && at.x + at.width <= frame.x + frame.width && at.y >= frame.y && at.y + at.height <= frame.y + frame.height, `the frame: ${seed}`)
    })
  }
})
