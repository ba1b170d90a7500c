// @ts-check
// Files that the page has made, handed to the browser to keep.

import { el } from "./elements.js"

const FETCHED_MS = 10000 // long enough for the browser to have taken it

/**
 * @param {string} name of the file
 * @param {string | BlobPart} content
 * @param {string} type of the media
 */
export function download(name, content, type) {
  const link = el("a", { href: URL.createObjectURL(new Blob([content], { type })), download: name })
  link.click()
  setTimeout(() => URL.revokeObjectURL(link.href), FETCHED_MS)
}
