// @ts-check
// What is in hand while a roof is mounted and wired.

const HUES = 6 // as many as can be told apart; see .s1 and on in roof.css

/** The class of a string's colour, by its index from 0.
 * @param {number} index */
export const hueOf = (index) => `s${(index % HUES) + 1}`

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
