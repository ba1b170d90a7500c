// @ts-check
// What this tab keeps over a reload; a browser without room keeps nothing.

/**
 * @param {string} name
 * @param {string} text "" forgets it
 */
export function keep(name, text) {
  try {
    if (text) sessionStorage.setItem(`pvsim.${name}`, text)
    else sessionStorage.removeItem(`pvsim.${name}`)
  } catch {
    // No room, or not allowed: the search is then gone with the page.
  }
}

/** @param {string} name */
export function kept(name) {
  try {
    return sessionStorage.getItem(`pvsim.${name}`) ?? ""
  } catch {
    return ""
  }
}
