// @ts-check
// What a part of the page has to say to the server: at most one message is unanswered, what comes meanwhile
// waits, put together by the rule of whose it is.

const MOST_WISHES = 20 // in one message; the server takes no more (component.py), and what waits goes with the next
const PATIENCE_MS = 8000 // a message lost with its connection must not silence a part for ever

/**
 * A rule of putting together: each wish in its turn, none is lost.
 * @template {Outbox.Wish} W
 * @param {W[]} waiting changed in place
 * @param {W} wish
 */
export function inOrder(waiting, wish) {
  waiting.push(wish)
}

/**
 * The last word on each thing wins. A press, which has no value (undo, for one), and what begins or ends a
 * stroke count each time: they stay where they are, and nothing is put together across them.
 * @template {Outbox.Wish} W
 * @param {W[]} waiting changed in place
 * @param {W} wish
 */
export function lastWord(waiting, wish) {
  if (!counts(wish)) {
    const same = waiting.findLastIndex((one) => one.do === wish.do)
    if (same > waiting.findLastIndex(counts)) waiting.splice(same, 1)
  }
  waiting.push(wish)
}

/** @param {Outbox.Wish} wish */
const counts = (wish) => wish.do === "stroke" || wish.value === null || wish.value === undefined

/**
 * A component's outbox. What one event asks for goes in one message, sent as soon as the event has been
 * dealt with.
 * @template {Outbox.Wish} W
 * @param {Outbox.Model<W>} model the component, as Panel gives it to a script
 * @param {object} [options]
 * @param {(waiting: W[], wish: W) => void} [options.merge] adds a wish to those that wait
 * @param {(message: any) => void} [options.heard] gets whatever the server says: answers, which tell in
 *   `answered` what they answer, after the next message has gone; and what nobody asked for
 * @param {Outbox.Clock} [options.clock]
 * @returns {Outbox.Outbox<W>}
 */
export function makeOutbox(model, { merge = inOrder, heard = () => {}, clock = CLOCK } = {}) {
  /** @type {W[]} */
  const waiting = []
  /** @type {W[] | null} */
  let flying = null
  let sent = 0, due = false, closed = false
  /** @type {any} */
  let timer
  const flush = () => {
    if (flying || closed || !waiting.length) return
    flying = waiting.splice(0, MOST_WISHES)
    sent += 1
    timer = clock.set(open, PATIENCE_MS)
    model.send_msg({ number: sent, wishes: flying })
  }
  const open = () => {
    clock.clear(timer)
    flying = null
    flush()
  }
  model.on("msg:custom", (message) => {
    if (closed) return
    if (message.answered === sent) open()
    heard(message)
  })
  document.addEventListener("pvsim:connected", open) // what was under way then is lost
  return {
    say(wish) {
      if (closed) return
      merge(waiting, wish)
      if (due) return
      due = true
      queueMicrotask(() => {
        due = false
        flush()
      })
    },
    flush,
    holds: (name) => [...(flying ?? []), ...waiting].some((one) => one.do === name),
    get busy() {
      return flying !== null || waiting.length > 0
    },
    close() {
      closed = true
      clock.clear(timer)
      document.removeEventListener("pvsim:connected", open)
      waiting.length = 0
    },
  }
}

/** @type {Outbox.Clock} */
const CLOCK = { set: (run, ms) => setTimeout(run, ms), clear: (timer) => clearTimeout(timer) }
