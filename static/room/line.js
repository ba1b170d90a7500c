// @ts-check
// A web socket that comes back by itself.

const PAUSES_ms = [300, 700, 1500, 3000, 5000]
const SILENT_ms = 6000      // without the reply that was waited for, the connection counts as lost

/**
 * Connect: `hear` is told every message, `up` when it is connected, `down` when that is lost.
 * @param {string} path
 * @param {{ hear(message: any): void, up(): void, down(): void }} ears
 */
export const connect = (path, { hear, up, down }) => {
  /** @type {WebSocket | null} */
  let socket = null
  let tries = 0, timer = 0, guard = 0, over = false

  const open = () => {
    clearTimeout(timer)
    if (over || (socket && socket.readyState <= 1)) return
    const mine = socket = new WebSocket(location.origin.replace(/^http/, "ws") + path)
    mine.onopen = () => { tries = 0; up() }
    mine.onmessage = event => { clearTimeout(guard); guard = 0; hear(JSON.parse(event.data)) }
    mine.onclose = () => gone(mine)
  }
  /** @param {WebSocket} mine */
  const gone = mine => {
    if (mine !== socket) return
    socket = null
    clearTimeout(guard)
    guard = 0
    if (over) return
    down()
    // A whole class that lost its network does not come back in one moment.
    timer = setTimeout(open, PAUSES_ms[Math.min(tries++, PAUSES_ms.length - 1)] * (0.7 + 0.6 * Math.random()))
  }
  const lose = () => {
    const old = socket
    if (!old) return
    old.onmessage = null
    old.close()
    gone(old)
  }
  const now = () => { if (!document.hidden) open() }
  addEventListener("online", now)
  document.addEventListener("visibilitychange", now)
  open()

  return {
    // Send; `waits` for a message in return. False when there is no connection.
    /** @type {(message: object, waits?: boolean) => boolean} */
    send(message, waits = true) {
      if (!socket || socket.readyState !== 1) return false
      socket.send(JSON.stringify(message))
      if (waits && !guard) guard = setTimeout(lose, SILENT_ms)
      return true
    },
    end() { over = true; clearTimeout(timer); socket?.close() },
  }
}
