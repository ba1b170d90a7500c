// @ts-check
// What was typed of a sheet, kept by the tab: a page that loads again, in another language for one, loses nothing.

const KEY = "pvsim.sheet"

/** @param {Sheet.Values} values */
export function keepDraft(values) {
  try { sessionStorage.setItem(KEY, JSON.stringify(values)) } catch { /* not allowed here */ }
}

/**
 * Texts of known fields alone, whatever the tab has kept.
 * @param {string[]} known
 * @returns {Sheet.Values}
 */
export function keptDraft(known) {
  try {
    const kept = JSON.parse(sessionStorage.getItem(KEY) ?? "{}")
    return Object.fromEntries(Object.entries(kept).filter(([name, text]) => known.includes(name) && typeof text === "string"))
  } catch { return {} }
}
