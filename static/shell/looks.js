// @ts-check
// How the page looks: what this browser keeps of it, and what the root element shows of the state.

import { inBrowser } from "../shared/keep.js"

/**
 * What this browser kept wins at first; afterwards the server's state does.
 * @param {Shell.Frame} model
 * @param {Shell.Ask} ask
 */
export function followLooks(model, ask) {
  const root = document.documentElement
  const first = { theme: root.dataset.theme, large: root.dataset.large === "true", keys: inBrowser.get("keys") !== "false" }
  if (first.theme !== model.looks.theme || first.large !== model.looks.large || first.keys !== model.looks.keys) ask("looks", first)
  model.on("looks", () => {
    const { theme, large, keys } = model.looks
    root.dataset.theme = theme
    root.dataset.large = String(large)
    for (const [key, value] of Object.entries({ theme, large, keys })) inBrowser.set(key, String(value))
  })

  // What would answer a prediction stays covered until it is given; the place it takes is kept.
  const cover = () => { root.dataset.hides = model.hides }
  model.on("hides", cover)
  cover()
}

/**
 * The page's title: what is being read, and on which array. Gives back what ends it.
 * @param {Shell.Frame} model
 */
export function followTitle(model) {
  let reading = ""
  const name = () => { document.title = [reading, model.title, "pvsim"].filter(Boolean).join(" · ") }
  /** @param {Event} event */
  const titled = event => { reading = /** @type {CustomEvent} */ (event).detail; name() }
  document.addEventListener("pvsim:titled", titled)
  model.on("title", name)
  name()
  return () => document.removeEventListener("pvsim:titled", titled)
}
