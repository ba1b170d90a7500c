// @ts-check
// The levels of the array, and the bits of a cell's flags.

/** @type {Roof.Level[]} */
export const LEVELS = ["array", "string", "module", "substring", "cell"]

/**
 * Whether a level shows whole modules, not their cells: there keys and pointer act on whole modules.
 * @param {Roof.Level} level
 */
export const isFar = (level) => LEVELS.indexOf(level) < 2

export const EATS = 1
export const BYPASSED = 2
export const SHADED = 4
