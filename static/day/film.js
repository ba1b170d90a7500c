// @ts-check
// The film of a day: which of its times is shown, and how it goes on by itself while it plays.

export const FRAME_MS = 110 // each time is shown so long, however long a picture of it takes: then some are left out

/**
 * @param {object} hand
 * @param {() => number} hand.count how many times the day has
 * @param {(at: number) => void} hand.show asks for the roof at this time
 * @param {() => void} hand.changed is told when another time is shown, or it plays or pauses
 * @param {Day.Clock} [hand.clock]
 */
export function makeFilm({ count, show, changed, clock = CLOCK }) {
  let at = -1, began = 0, from = 0
  /** @type {unknown} */
  let timer = null

  const halt = () => {
    if (timer !== null) clock.clear(timer)
    timer = null
  }
  /** @param {number} wanted */
  const put = (wanted) => {
    const next = Math.max(0, Math.min(count() - 1, Math.round(wanted)))
    if (next === at || !count()) return
    at = next
    show(at)
  }
  const tick = () => {
    put(from + (clock.now() - began) / FRAME_MS)
    timer = at >= count() - 1 ? null : clock.set(tick, FRAME_MS)
    changed()
  }
  return {
    /** The time shown, from 0; -1 while none is. */
    get at() { return at },
    get playing() { return timer !== null },
    /** Play on from the time shown, or from the beginning where that is the last. */
    play() {
      if (!count() || timer !== null) return
      put(at < 0 || at >= count() - 1 ? 0 : at)
      from = at
      began = clock.now()
      timer = clock.set(tick, FRAME_MS)
      changed()
    },
    pause() {
      if (timer === null) return
      halt()
      changed()
    },
    /** Show a time; who chooses one has it stand still.
     * @param {number} wanted */
    go(wanted) {
      halt()
      put(wanted)
      changed()
    },
    /** Show none any more. */
    leave() {
      halt()
      at = -1
      changed()
    },
  }
}

/** @type {Day.Clock} */
const CLOCK = { now: () => performance.now(), set: (run, ms) => setTimeout(run, ms), clear: (timer) => clearTimeout(timer) }
