// @ts-check
// Arrow keys in a row of which one holds, as radio buttons have them: the next one has the keys and is pressed.

/** @type {Record<string, number | undefined>} */
const STEPS = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }

/**
 * @param {HTMLElement} row what lies directly in it are its buttons
 */
export function hearRadioKeys(row) {
  row.addEventListener("keydown", event => {
    const step = STEPS[event.key]
    if (!step) return
    event.preventDefault()
    const all = /** @type {HTMLElement[]} */ ([...row.children])
    const at = all.findIndex(one => one.matches(":focus"))
    const next = all[(at + step + all.length) % all.length]
    next.focus()
    next.click()
  })
}
