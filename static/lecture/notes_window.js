// @ts-check
// The window with the lecturer's notes. It opens with the press, before the answer: browsers allow it then alone.

export function makeNotesWindow() {
  /** @type {Window | null} */
  let opened = null
  return {
    open() { opened = window.open("", "pvsim-notes", "popup,width=720,height=760") },
    /** Where the notes lie; without them the window goes again.
     * @param {string} path */
    show(path) {
      if (path && opened) opened.location.href = new URL(path, location.href).href
      else opened?.close()
      opened = null
    },
  }
}
