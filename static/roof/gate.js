// What the browser has to say: at most one unanswered message, the rest merged, the last word wins.

const MOST_WISHES = 20 // in one message; the server takes no more, and what waits goes with the next
const PATIENCE_MS = 8000 // a message lost with its connection must not silence the drawing for ever

/** Add one wish to those waiting; painting, moving and looking around merge with their like. */
export function merge(waiting, wish) {
  const last = waiting[waiting.length - 1]
  if (last && last.do === wish.do) {
    if (wish.at && last.at && ["of", "to", "stroke"].every((name) => last[name] === wish[name])) {
      const known = new Set(last.at)
      for (const one of wish.at) if (!known.has(one)) last.at.push(one)
      return waiting
    }
    if (wish.do === "shadow" && last.index === wish.index && last.stroke === wish.stroke) {
      waiting[waiting.length - 1] = { ...last, ...wish }
      return waiting
    }
    if (wish.do === "show") {
      waiting[waiting.length - 1] = { ...last, ...wish }
      return waiting
    }
  }
  waiting.push(wish.at ? { ...wish, at: [...wish.at] } : { ...wish })
  return waiting
}

/**
 * A gate in front of `post`: `say` hands a wish over, `answered` opens it for the next message.
 * What one event asks for goes in one message, sent as soon as the event has been dealt with.
 */
export function makeGate(post, clock = { set: (f, ms) => setTimeout(f, ms), clear: (t) => clearTimeout(t) }) {
  let waiting = []
  let sent = 0
  let open = true
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
