// @ts-check
// What the browser has to say: at most one unanswered message, the rest merged, the last word wins.

const MOST_WISHES = 20 // in one message; the server takes no more, and what waits goes with the next
const PATIENCE_MS = 8000 // a message lost with its connection must not silence the drawing for ever

/**
 * Add one wish to those waiting; painting, moving and looking around merge with their like.
 * @param {Roof.Wish[]} waiting
 * @param {Roof.Wish} wish
 * @returns {Roof.Wish[]}
 */
export function merge(waiting, wish) {
  const last = waiting[waiting.length - 1]
  if (last && isBrush(last) && isBrush(wish) && SAME_STROKE.every((name) => last[name] === wish[name])) {
    last.at = [...new Set([...last.at, ...wish.at])]
  } else if (last?.do === "shadow" && wish.do === "shadow" && last.index === wish.index && last.stroke === wish.stroke) {
    waiting[waiting.length - 1] = { ...last, ...wish }
  } else if (last?.do === "show" && wish.do === "show") {
    waiting[waiting.length - 1] = { ...last, ...wish }
  } else waiting.push(isBrush(wish) ? { ...wish, at: [...wish.at] } : { ...wish })
  return waiting
}

/** @type {["do", "of", "to", "stroke"]} */
const SAME_STROKE = ["do", "of", "to", "stroke"]

/**
 * @param {Roof.Wish} wish
 * @returns {wish is Roof.BrushWish}
 */
function isBrush(wish) {
  return "at" in wish && wish.at !== undefined
}

/**
 * A gate in front of `post`: `say` hands a wish over, `answered` opens it for the next message.
 * What one event asks for goes in one message, sent as soon as the event has been dealt with.
 * @param {(message: Roof.Message) => void} post
 * @param {{ set(run: () => void, ms: number): unknown, clear(timer: any): void }} [clock]
 * @returns {Roof.Gate}
 */
export function makeGate(post, clock = { set: (f, ms) => setTimeout(f, ms), clear: (t) => clearTimeout(t) }) {
  /** @type {Roof.Wish[]} */
  let waiting = []
  let sent = 0
  let open = true
  /** @type {unknown} */
  let timer = null
  let due = false
  const flush = () => {
    if (!open || waiting.length === 0) return
    open = false
    const wishes = waiting.splice(0, MOST_WISHES)
    sent += 1
    timer = clock.set(() => answered(sent), PATIENCE_MS)
    post({ number: sent, wishes })
  }
  const soon = () => {
    if (due) return
    due = true
    queueMicrotask(() => {
      due = false
      flush()
    })
  }
  /** @param {number} number */
  const answered = (number) => {
    if (number < sent) return
    clock.clear(timer)
    open = true
    flush()
  }
  return {
    say(wish) {
      waiting = merge(waiting, wish)
      soon()
    },
    answered,
    flush,
    get busy() {
      return !open || waiting.length > 0
    },
    get count() {
      return sent
    },
    close() {
      clock.clear(timer)
      waiting = []
    },
  }
}
