// @ts-check
// Numbers typed into the rows around the drawing.

import { fitted, plain, put, typed } from "./dom.js"
import { tellWord, tellWrong } from "./word.js"

/**
 * A number field that hands over what was typed when it is a number in range, and says why when it is not.
 * @param {HTMLInputElement} input
 * @param {{ least: number, most: number, unit?: string, whole?: boolean }} bounds
 * @param {Roof.Palette} palette
 * @param {(value: number) => void} done
 */
export function commit(input, { least, most, unit = "", whole = false }, { word, words }, done) {
  const id = `wrong-${input.dataset.name}`
  input.addEventListener("change", () => {
    const value = typed(input.value, unit)
    const good = value >= least - 1e-9 && value <= most + 1e-9 && !(whole && value % 1)
    put(input, "aria-invalid", good ? null : "true")
    put(input, "aria-describedby", good ? null : id)
    const values = { text: input.value.trim().slice(0, 20), least: plain(least), most: plain(most) }
    tellWrong(word, id, good ? "" : fitted(whole ? words.needs_whole : words.needs_number, values))
    tellWord(word, { hint: "", caution: "" })
    if (good) done(value)
  })
  input.addEventListener("keydown", (event) => event.stopPropagation())
}
