// @ts-check
// Texts that a browser keeps under names of pvsim's: in this tab over a reload, or over visits. It may have no
// room, or not be allowed to: then nothing is kept. That is said once a page (shell/frame.js hears of it), or as
// the caller would have it. What a page needs before it is drawn reads the same names in its template.

/** Whoever keeps something goes on without; somebody else says it. */
const sayIt = () => { document.dispatchEvent(new CustomEvent("pvsim:unkept")) }

/**
 * Asking for a store alone may be refused.
 * @param {() => Storage} where
 */
const keepIn = where => ({
  /** @param {string} name */
  get(name) {
    try { return where().getItem(`pvsim.${name}`) ?? "" } catch { return "" }
  },
  /**
   * Whether it is kept; of an empty text nothing is.
   * @param {string} name
   * @param {string} text
   * @param {() => void} refused in place of what is said once
   */
  set(name, text, refused = sayIt) {
    if (!text) return this.forget(name)
    try { where().setItem(`pvsim.${name}`, text); return true } catch { refused(); return false }
  },
  /**
   * Whether nothing is left of it.
   * @param {string} name
   */
  forget(name) {
    try { where().removeItem(`pvsim.${name}`); return true } catch { return false }
  },
})

export const inTab = keepIn(() => sessionStorage)
export const inBrowser = keepIn(() => localStorage)
