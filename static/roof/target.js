// @ts-check
// What is pointed at in the drawing: a part, or a lead of it. Its key, the way people write it, is read here and
// nowhere else; from then on the value travels.

import { placeKey } from "./dom.js"

/**
 * A part, or one of its leads.
 * @param {Roof.Place} place
 * @param {Roof.Target["lead"]} [lead]
 * @returns {Roof.Target}
 */
export const targetAt = (place, lead = "") => ({ key: lead ? `${placeKey(place)}#${lead}` : placeKey(place), place, lead })

/**
 * What a key names, such as "2/5/14", "2/5/d3", "2/5#plus" or "2".
 * @param {string} key
 * @returns {Roof.Target}
 */
export function targetOf(key) {
  const [name, lead = ""] = key.split("#")
  const [string, module, inner] = name.split("/")
  /** @type {Roof.Place} */
  const place = { string: Number(string) || undefined, module: Number(module) || undefined }
  if (inner) place[inner.startsWith("d") ? "diode" : inner.startsWith("s") ? "substring" : "cell"] = Number(inner.replace(/\D/, ""))
  return { key, place, lead: /** @type {Roof.Target["lead"]} */ (lead) }
}

/**
 * The whole module, or the whole string, that a place lies in.
 * @param {Roof.Place} place
 */
export const moduleOf = ({ string, module }) => ({ string, module })
/** @param {Roof.Place} place */
export const stringOf = ({ string }) => ({ string })
