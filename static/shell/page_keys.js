// @ts-check
// Keys of the whole page. None is taken while somebody types, or from a component that used it.

/** @type {Record<string, string | undefined>} */
const LETTERS = { k: "keep", t: "theme", l: "large", w: "worst" }

/**
 * What a key asks for, if it asks for anything.
 * @param {{ key: string, shift: boolean, command: boolean, repeat: boolean }} pressed with Ctrl or its like, or without
 * @param {boolean} letters whether single letters and digits are keys
 * @returns {{ act: string, value?: number } | null}
 */
export function wishOf({ key, shift, command, repeat }, letters) {
  const name = key.toLowerCase()
  if (command) {
    if (name === "z") return { act: shift ? "redo" : "undo" }
    return name === "y" ? { act: "redo" } : null
  }
  if (!letters) return null
  if (name === "?") return { act: "help" }
  if (/^[1-5]$/.test(name)) return { act: "level", value: Number(name) }
  const act = Object.hasOwn(LETTERS, name) ? LETTERS[name] : undefined
  return act && !repeat ? { act } : null
}

/** @param {EventTarget} at */
const typesInto = at => at instanceof HTMLElement && (at.isContentEditable || /^(TEXTAREA|SELECT)$/.test(at.tagName)
  || (at instanceof HTMLInputElement && !/^(checkbox|radio|range|button|submit|file)$/.test(at.type)))

/**
 * Listen, and give back what stops listening.
 * @param {Shell.Frame} model
 * @param {Shell.Ask} ask
 */
export function hearPageKeys(model, ask) {
  /** @param {KeyboardEvent} event */
  const key = event => {
    const path = event.composedPath()
    if (event.defaultPrevented || event.altKey || typesInto(path[0])) return
    const command = event.ctrlKey || event.metaKey
    const wish = wishOf({ key: event.key, shift: event.shiftKey, command, repeat: event.repeat }, model.looks.keys)
    if (!wish || (!command && path.some(node => node instanceof HTMLDialogElement))) return
    event.preventDefault()
    if (wish.act === "help") document.dispatchEvent(new CustomEvent("pvsim:help"))
    else ask(wish.act, wish.value ?? null)
  }
  document.addEventListener("keydown", key)
  return () => document.removeEventListener("keydown", key)
}
