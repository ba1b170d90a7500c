// @ts-check
// What the desk has to say to the server.

const PATIENCE_MS = 8000 // a message lost with its connection must not silence the desk for ever

// At most one unanswered message; what waits is merged, the last word on each thing wins.
/**
 * @param {(message: object & { number: number }) => void} post
 * @returns {Curves.Gate}
 */
export function makeGate(post) {
  let sent = 0, open = true, timer = 0
  /** @type {object | null} */
  let waiting = null
  const flush = () => {
    if (!open || !waiting) return
    open = false
    const message = waiting
    waiting = null
    sent += 1
    timer = setTimeout(() => answered(sent), PATIENCE_MS)
    post({ ...message, number: sent })
  }
  /** @param {number} number */
  const answered = (number) => {
    if (number < sent) return
    clearTimeout(timer)
    open = true
    flush()
  }
  return {
    say: (wish) => { waiting = { ...waiting, ...wish }; flush() },
    answered,
    busy: () => !open || waiting !== null,
    close: () => { clearTimeout(timer); waiting = null; open = false },
  }
}
