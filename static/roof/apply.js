// @ts-check
// The tool in hand applied to one part; where it does not fit, what would.

import { updatePalette } from "./palette.js"
import { say } from "./store.js"
import { chooseScope } from "./tools.js"

/**
 * Apply the tool to what was pointed at; when it does not fit, offer the faults that do.
 * @param {Roof.Store} d
 * @param {Roof.Target} target what was pointed at
 * @param {Roof.Target | null} aimed what the tool hits there
 */
export function act(d, { place, lead }, aimed) {
  if (d.tray === "mend") {
    say(d, { do: "mend", place: aimed?.key ?? "" })
    return
  }
  if (d.tray === "measure") {
    say(d, { do: "measure", name: d.probe, place: aimed?.key ?? "" })
    return
  }
  if (aimed) {
    setHint(d, "")
    say(d, { do: "apply", place: aimed.key })
    return
  }
  if (d.tray === "break") {
    const scope = place.diode ? "diode" : lead ? "module" : place.cell ? "cell" : place.module ? "module" : "string"
    if (scope !== d.scope && scope !== "string" && !(scope === "module" && d.scope !== "module" && !lead)) {
      chooseScope(d, scope)
      setHint(d, d.words.choose_fault)
    } else setHint(d, d.words.go_nearer)
  } else setHint(d, d.words.cannot_shade)
}

/**
 * Say why the tool does nothing there, or "" where it does.
 * @param {Roof.Store} d
 * @param {string} hint
 */
export function setHint(d, hint) {
  if (d.hint === hint) return
  d.hint = hint
  updatePalette(d.palette, d)
}
