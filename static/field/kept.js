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

/**
 * The same over visits, in this browser; nothing said forgets nothing.
 * @param {string} name
 * @param {string} text
 */
export function keepLong(name, text) {
  if (!text) return
  try {
    localStorage.setItem(`pvsim.${name}`, text)
  } catch {
    // It is then known on this page alone.
  }
}

/** @param {string} name */
export function keptLong(name) {
  try {
    return localStorage.getItem(`pvsim.${name}`) ?? ""
  } catch {
    return ""
  }
}
