// @ts-check
// What part of the roof is in view: a centre and a scale, and the way from one view to the next.

const LEAST_ROOM = 24 // px: a stage that is low for a moment leaves less than nothing beside leads and labels

/**
 * The camera that shows `box` (mm) within `room` (px).
 * @param {Roof.Box} box
 * @param {Roof.Box} room
 * @returns {Roof.Camera}
 */
export function framing(box, room) {
  const scale = Math.min(Math.max(LEAST_ROOM, room.width) / box.width, Math.max(LEAST_ROOM, room.height) / box.height)
  return {
    scale,
    x: room.left + room.width / 2 - (box.left + box.width / 2) * scale,
    y: room.top + room.height / 2 - (box.top + box.height / 2) * scale,
  }
}

/**
 * Between two cameras, `t` from 0 to 1: the scale changes evenly by factor, one point stands still.
 * @param {Roof.Camera} from
 * @param {Roof.Camera} to
 * @param {number} t
 * @returns {Roof.Camera}
 */
export function between(from, to, t) {
  if (t >= 1) return to
  const scale = from.scale * (to.scale / from.scale) ** t
  const part = Math.abs(to.scale - from.scale) < 1e-9 ? t : (scale - from.scale) / (to.scale - from.scale)
  return { scale, x: from.x + (to.x - from.x) * part, y: from.y + (to.y - from.y) * part }
}

/**
 * Slow at both ends.
 * @param {number} t
 */
export function eased(t) {
  return t < 0.5 ? 4 * t * t * t : 1 - (-2 * t + 2) ** 3 / 2
}

/**
 * A view that travels: `go` sets off, `step` is told every camera, `done` when it is there; `finish` jumps.
 * @param {(camera: Roof.Camera) => void} step
 * @param {() => void} done
 * @returns {Roof.Traveller}
 */
export function makeTraveller(step, done) {
  /** @type {Roof.Camera | null} */
  let now = null
  /** @type {Roof.Camera | null} */
  let goal = null
  let frame = 0
  const halt = () => cancelAnimationFrame(frame)
  /** @param {Roof.Camera} target */
  const arrive = (target) => {
    halt()
    goal = null
    now = target
    step(target)
    done()
  }
  return {
    get now() {
      return now
    },
    go(target, milliseconds) {
      halt()
      if (!now || milliseconds <= 0) {
        arrive(target)
        return
      }
      goal = target
      const from = now
      const start = performance.now()
      /** @param {number} time */
      const tick = (time) => {
        const t = Math.min(1, Math.max(0, (time - start) / milliseconds))
        if (t >= 1) {
          arrive(target)
          return
        }
        now = between(from, target, eased(t))
        step(now)
        frame = requestAnimationFrame(tick)
      }
      frame = requestAnimationFrame(tick)
    },
    finish() {
      if (goal) arrive(goal)
    },
    halt,
  }
}
