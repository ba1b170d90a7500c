// @ts-check
// What the page says and what it is told: the newest word wins on both sides.

import { find } from "../shared/elements.js"
import { bytes, placeKey, shorts } from "./dom.js"
import { makePlan } from "./plan.js"
import { inScope, trayOf } from "./tray.js"
import { drawnNow } from "./wire_hand.js"

const KEYS_REST_MS = 700

/**
 * Hear of changes: "scene" when another roof has come, "state" when another state of it has, "light" when
 * paint is under way, "picture" after whatever else changes what is drawn.
 * @param {Roof.Store} d
 * @param {Roof.Change} what
 * @param {(d: Roof.Store) => void} run
 */
export function subscribe(d, what, run) {
  d.subscribers[what].push(run)
}

/**
 * Tell all who wait for such a change.
 * @param {Roof.Store} d
 * @param {Roof.Change} [what]
 */
export function changed(d, what = "picture") {
  for (const run of d.subscribers[what]) run(d)
}

/**
 * A new roof.
 * @param {Roof.Store} d
 */
export function newScene(d) {
  d.now = /** @type {any} */ (null) // nothing is drawn until a state of this roof is here
  const places = d.plan?.mounted?.spots.length
  d.plan = makePlan(d.model.scene)
  if (d.plan.mounted?.spots.length !== places) d.wire.drawn = []
  if (d.tray === "wire") d.hint = "" // what it cautioned of has begun
  changed(d, "scene")
  newState(d)
}

/**
 * A new state has come; with the answer that follows it in the same message one drawing does for both.
 * @param {Roof.Store} d
 */
export function stateCame(d) {
  if (d.due) return
  d.due = true
  queueMicrotask(() => {
    if (d.due) newState(d)
  })
}

/**
 * A new state of the same roof: bring the elements up to date.
 * @param {Roof.Store} d
 */
export function newState(d) {
  d.due = false
  const now = { ...d.model.now, shadows: [...d.model.now.shadows] } // a shadow under way is shown as it is dragged
  if (now.scene !== d.plan.scene.key) return // the scene that goes with it follows
  d.now = now
  readCells(d, now.cells)
  d.theme = now.theme
  d.painted.clear()
  for (const [first, count, through] of now.painted) {
    for (let cell = first; cell < first + count; cell++) d.painted.set(cell, (d.painted.get(cell) ?? 1) * through)
  }
  if (d.shadowEdit) now.shadows[d.shadowEdit.index] = { ...now.shadows[d.shadowEdit.index], ...d.shadowEdit.values }
  adopt(d)
  changed(d, "state")
  changed(d)
}

/**
 * Take over what the page shows, unless something newer was asked for here.
 * @param {Roof.Store} d
 */
export function adopt(d) {
  const { now } = d
  const before = `${d.level} ${placeKey(d.focus)}`
  d.level = d.wanted.level ?? now.level
  d.focus = d.wanted.focus ?? now.focus
  d.quantity = d.wanted.quantity ?? now.quantity
  const condition = d.wanted.condition ?? now.condition
  const handed = now.handed > (d.handed ?? 0)
  d.handed = now.handed
  if (condition !== d.condition || handed) {
    const first = !d.condition && !handed
    d.condition = condition
    const tray = trayOf(condition, d.words)
    const broken = d.tray === "break" && inScope(d, condition, d.scope)
    if (!broken && !(first && tray === "shade")) d.tray = tray // a finger begins by looking, a mouse by shading
    if (tray === "break" && !broken) d.scope = d.words.kinds[condition.split(":")[0]].group
  }
  // In a search a click points at a part: it would shade an array that nobody measures.
  if (now.seeking && !d.seeking && d.tray !== "measure") d.tray = "look"
  d.seeking = now.seeking
  if (d.chosenShadow >= now.shadows.length) d.chosenShadow = now.shadows.length - 1
  if (d.newShadow >= 0 && now.shadows.length > d.newShadow) {
    const made = (d.chosenShadow = now.shadows.length - 1)
    d.newShadow = -1
    // The keys that move it are heard on its name.
    queueMicrotask(() => find(d.root, `[data-name="shadow-${made}"]`)?.focus({ preventScroll: true })) // once it is drawn
  }
  if (d.tray === "wire" && d.level !== "array") d.tray = tray(d) // strings are drawn from afar alone
  if (d.hint && !before.startsWith(`${d.level} `)) d.hint = "" // it spoke of another level
  return before !== `${d.level} ${placeKey(d.focus)}`
}

/** @param {Roof.Store} d */
const tray = (d) => trayOf(d.condition, d.words)

/**
 * The page has dealt with a message; its picture came before the answer.
 * @param {Roof.Store} d
 * @param {Roof.Answer} message
 */
export function answered(d, message) {
  if (message.answered === undefined) return
  if (message.drawn !== undefined) drawnNow(d, message.drawn)
  settle(d)
  if (message.address !== undefined) d.address.answer(message)
}

/**
 * What the page shows counts again, as soon as it has dealt with all that was asked for here.
 * @param {Roof.Store} d
 */
export function settle(d) {
  if (d.outbox.busy) return
  d.wanted = {}
  if (!d.stroke) {
    d.due ||= d.pending.size > 0
    d.pending.clear()
    if (!d.shadowEdit?.held) d.shadowEdit = null
  }
  if (d.due) newState(d)
  else if (adopt(d)) changed(d)
}

/**
 * @param {Roof.Store} d
 * @param {Roof.Now["cells"]} cells
 */
function readCells(d, cells) {
  const values = shorts(cells.values)
  const flags = bytes(cells.flags)
  const { ranges, quantum } = cells
  if (ranges.length === 1 && ranges[0][0] === 0) {
    d.value = (cell) => values[cell] * quantum
    d.flags = (cell) => flags[cell]
  } else {
    /** @param {number} cell */
    const place = (cell) => {
      let base = 0
      for (const [start, count] of ranges) {
        if (cell >= start && cell < start + count) return base + cell - start
        base += count
      }
      return -1
    }
    d.value = (cell) => (place(cell) < 0 ? NaN : values[place(cell)] * quantum)
    d.flags = (cell) => (place(cell) < 0 ? 0 : flags[place(cell)])
  }
  d.known = (module) => ranges.some(([start, count]) => module.cell >= start && module.cell < start + count)
}

/**
 * Type of another size needs other room: all is laid out anew.
 * @param {Roof.Store} d
 */
export function rescale(d) {
  const scale = parseFloat(getComputedStyle(d.root).getPropertyValue("--type-scale")) || 1
  if (scale === d.typeScale) return
  d.typeScale = scale
  d.wiringKey = d.railKey = ""
  d.arrived = false
  changed(d)
}

/**
 * Tell the page, when it is ready to hear.
 * @param {Roof.Store} d
 * @param {Roof.Wish} wish
 */
export function say(d, wish) {
  d.outbox.say(wish)
}

/**
 * The stroke of a key: keys that follow each other fast are one step to undo.
 * @param {Roof.Store} d
 */
export function strokeOfKeys(d) {
  clearTimeout(d.keysRest)
  d.keysRest = setTimeout(() => (d.keysStroke = 0), KEYS_REST_MS)
  return (d.keysStroke ||= ++d.strokes)
}

/**
 * Choose a quantity or a condition.
 * @param {Roof.Store} d
 * @param {{ quantity?: Roof.Quantity, condition?: string }} values
 */
export function choose(d, values) {
  Object.assign(d.wanted, values)
  say(d, { do: "choose", ...values })
  adopt(d)
  changed(d)
}

/**
 * Turn to a place, at a level; `also` asks for more, so that all is on its way while this is drawn.
 * @param {Roof.Store} d
 * @param {Roof.Place} focus
 * @param {Roof.Level} level
 * @param {(() => void) | null} [also]
 */
export function show(d, focus, level, also = null) {
  const there = level === d.level && placeKey(focus) === placeKey(d.focus)
  if (!there) {
    Object.assign(d.wanted, { focus, level })
    say(d, { do: "show", focus: placeKey(focus), level })
  }
  also?.()
  d.outbox.flush()
  if (there) return
  adopt(d)
  changed(d)
}

/**
 * Let go of everything that lives longer than the elements.
 * @param {Roof.Store} d
 */
export function close(d) {
  for (const [name, run] of d.ears) d.image.removeEventListener(name, run)
  d.sizing.disconnect()
  d.looks.disconnect()
  document.removeEventListener("pvsim:right", d.righter)
  d.traveller.halt()
  clearTimeout(d.moving)
  clearTimeout(d.keysRest)
  d.outbox.close()
}
