// @ts-check
// What was typed of a sheet, kept by the tab: a page that loads again, in another language for one, loses nothing.

import { inTab } from "../shared/keep.js"

const KEY = "sheet"

/** @param {Sheet.Values} values */
export function keepDraft(values) {
  inTab.set(KEY, JSON.stringify(values))
}

/**
 * Texts of known fields alone, whatever the tab has kept.
 * @param {string[]} known
 * @returns {Sheet.Values}
 */
export function keptDraft(known) {
  try {
    const kept = JSON.parse(inTab.get(KEY) || "{}")
    return Object.fromEntries(Object.entries(kept).filter(([name, text]) => known.includes(name) && typeof text === "string"))
  } catch { return {} }
}
