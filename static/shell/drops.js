// @ts-check
// Files dropped anywhere on the page: without this the browser would leave the page and show the file.

import { asText, handOnCurve } from "../shared/incoming.js"

const MOST_BYTES = 1_048_576    // as opened_file.py has it

/** @param {DragEvent} event */
const hasFiles = event => event.dataTransfer?.types.includes("Files") ?? false

/**
 * Listen, and give back what stops listening.
 * @param {Shell.Ask} ask
 */
export function hearDrops(ask) {
  /** @param {DragEvent} event */
  const over = event => {
    if (!hasFiles(event) || !event.dataTransfer) return
    event.preventDefault()
    event.dataTransfer.dropEffect = "copy"
  }
  /** @param {DragEvent} event */
  const drop = async event => {
    if (!hasFiles(event)) return
    event.preventDefault()
    const file = event.dataTransfer?.files[0]
    const dialog = event.composedPath().find(node => node instanceof HTMLDialogElement)
    if (!file || (dialog && !dialog.classList.contains("traced"))) return    // another dialog is busy with something else
    if (!(await handOnCurve(file)) && !dialog) ask("open", await asText(file, MOST_BYTES))
  }
  document.addEventListener("dragover", over)
  document.addEventListener("drop", drop)
  return () => {
    document.removeEventListener("dragover", over)
    document.removeEventListener("drop", drop)
  }
}
