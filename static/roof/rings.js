// @ts-check
// The rings around what has the keys or is in focus, and around what the tool would hit.

import { withKeys } from "../shared/elements.js"
import { put } from "./dom.js"
import { screenBox } from "./framing.js"
import { boxOf } from "./boxes.js"
import { cellBox, moduleAt } from "./plan.js"
import { targetAt } from "./target.js"

/** @param {Roof.Store} d */
export function drawRings(d) {
  ring(d.rings.focus, focusBox(d), 2)
  ring(d.rings.hover, d.aimed && targetBox(d, d.aimed), 1)
  for (const { key, element } of d.cables ?? []) element?.classList.toggle("aimed", key === d.aimed?.key)
}

/**
 * The ring stands where the keys are while they are in use, else around the part in focus.
 * @param {Roof.Store} d
 */
function focusBox(d) {
  if (d.current && d.image.contains(withKeys(d.root))) return d.current.box
  const place = d.focus
  if (d.tray === "shadow" || !place.string || (d.level === "string" && !place.module)) return null
  return targetBox(d, targetAt(place))
}

/**
 * @param {SVGElement} rect
 * @param {Roof.Box | null} box
 * @param {number} grow by how many px it is larger
 */
function ring(rect, box, grow) {
  rect.style.display = box ? "" : "none"
  if (!box) return
  put(rect, "x", (box.left - grow).toFixed(1))
  put(rect, "y", (box.top - grow).toFixed(1))
  put(rect, "width", (box.width + 2 * grow).toFixed(1))
  put(rect, "height", (box.height + 2 * grow).toFixed(1))
}

/**
 * Where on the screen something is, in px.
 * @param {Roof.Store} d
 * @param {Roof.Target} target
 * @returns {Roof.Box | null}
 */
function targetBox(d, { key, place }) {
  const item = d.rows.flat().find((one) => one.key === key)
  if (item) return item.box
  const module = moduleAt(d.plan, place)
  if (!module) return null
  if (place.cell) return screenBox(d, cellBox(module, place.cell - 1))
  const number = place.diode ?? place.substring
  if (!number) return screenBox(d, module)
  const { first, count } = module.shape.substrings[number - 1]
  return screenBox(d, boxOf(Array.from({ length: count }, (_, k) => cellBox(module, first + k))))
}
