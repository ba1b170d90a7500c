// @ts-check
// What is in hand while a roof is mounted and wired.

/** What the tool is like before anybody has touched it.
 * @returns {Roof.Wire} */
export const firstWire = () => ({ tool: "string", scope: "one", string: 1, drawn: [], strings: 0, order: "", side: true })

/**
 * The string that was drawn has this number now; 0 where that was refused.
 * @param {Roof.Store} d
 * @param {number} number
 */
export function drawnNow(d, number) {
  if (!number) d.wire.drawn = []
  else d.wire.string = number
}
