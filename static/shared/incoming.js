// @ts-check
// Files that come into the page, chosen or dropped: which are scenarios and which are measured curves.

const HEAD_BYTES = 20000    // that are looked at to tell what a file is
const CURVES = /\.(csv|tsv|dat|asc)$/i
const TABLE = /^\s*\[\[?[\w."-]+\]\]?\s*(#.*)?$/m    // a heading of TOML, which a table of numbers does not have

/**
 * What a file is by its name, or else by its first lines; whatever is no scenario is taken for a curve.
 * @param {string} name
 * @param {string} head
 * @returns {"scenario" | "curve"}
 */
export function kindOf(name, head) {
  if (/\.toml$/i.test(name)) return "scenario"
  if (CURVES.test(name)) return "curve"
  return TABLE.test(head) ? "scenario" : "curve"
}

/**
 * A measured curve goes to its dialog; gives back whether it was one.
 * @param {File} file
 */
export async function handOnCurve(file) {
  if (kindOf(file.name, await file.slice(0, HEAD_BYTES).text()) === "scenario") return false
  document.dispatchEvent(new CustomEvent("pvsim:curve", { detail: file }))
  return true
}

/**
 * A scenario as the server opens it. One that is too large is refused where all others are: beside the result.
 * @param {File} file
 * @param {number} most bytes
 */
export const asText = async (file, most) =>
  file.size > most ? { name: file.name, size: file.size } : { name: file.name, text: await file.text() }
