// @ts-check
// Which tool is in hand.

import { changed, choose, say, show } from "./store.js"
import { inScope, trayOf } from "./tray.js"
import { firstWire } from "./wire_hand.js"

/**
 * @param {Roof.Store} d
 * @param {Roof.Tray} name
 */
export function chooseTray(d, name) {
  d.tray = name
  d.hint = ""
  d.aimed = null
  d.wire.drawn = []
  if (name === "shade" && !d.condition.startsWith("shade")) choose(d, { condition: "shade:0.2" })
  if (name === "mend" && d.condition !== "mend") choose(d, { condition: "mend" })
  if (name === "break" && !inScope(d, d.condition, d.scope)) chooseScope(d, d.focus.diode && d.level !== "array" ? "diode" : d.scope)
  if (name === "wire") {
    show(d, d.focus, "array")
    d.hint = d.words.wire.caution
  }
  if (name === "measure") say(d, { do: "field" })
  if (name === "shadow" && d.chosenShadow < 0) d.chosenShadow = d.now.shadows.length - 1
  d.tray = name
  changed(d)
}

/**
 * @param {Roof.Store} d
 * @param {string} scope
 */
export function chooseScope(d, scope) {
  d.scope = scope
  d.hint = ""
  const group = d.words.groups.find((one) => one.scope === scope)
  d.tray = "break"
  if (!inScope(d, d.condition, scope)) choose(d, { condition: group?.first })
  d.tray = "break"
  d.scope = scope
  changed(d)
}

/**
 * @param {Roof.Store} d
 * @param {string} condition
 */
export function chooseCondition(d, condition) {
  const tray = d.tray
  d.hint = ""
  choose(d, { condition })
  d.tray = tray
  changed(d)
}

/**
 * What was chosen here alone goes back to what the page asks for: tray, shadow, what stands in the address box.
 * @param {Roof.Store} d
 */
export function putRight(d) {
  if (!d.now) return
  d.stroke = d.shadowEdit = null
  d.pending.clear()
  d.wanted = {}
  d.tray = trayOf(d.now.condition, d.words)
  d.condition = d.now.condition
  d.scope = "cell"
  d.hint = ""
  d.chosenShadow = -1
  d.wire = firstWire()
  d.address.clear()
  changed(d)
}
