// The levels of the array, and the bits of a cell's flags.

export const LEVELS = ["array", "string", "module", "substring", "cell"]
export const EATS = 1
export const BYPASSED = 2
export const SHADED = 4
