// @ts-check
// What a learner can do with all work: save it as a file, take one up, forget it.

import { download } from "../shared/download.js"
import { el } from "../shared/elements.js"
import { fileButton } from "../shared/file_button.js"
import { twice } from "../shared/twice.js"

const LARGEST = 1600000

/** @type {(act: string, label: string, press: () => void) => HTMLElement} */
const link = (act, label, press) => el("button", { class: "link", type: "button", "data-act": act, onclick: press }, label)
/** @param {string} text */
const save = text => download("pvsim-workbook.json", text, "application/json")

/** To forget everything, by a second press.
 * @type {(sheet: Lesson.Sheet) => HTMLElement} */
const forgetLink = ({ words, forget: all }) => {
  const forget = el("button", { class: "link", type: "button", "data-act": "forget" }, words.forget)
  twice(forget, words.forget_sure, all)
  return forget
}

/**
 * @param {{ begun: boolean, wrong: string, aside: string }} values what was set aside as it could not be read
 * @param {Lesson.Sheet} sheet
 */
export const workbookPanel = ({ begun, wrong, aside }, sheet) => {
  const { words, send, kept } = sheet
  const trouble = el("p", { class: "wrong", role: "alert" }, wrong)
  /** @param {File} file */
  const take = async file => {
    if (file.size > LARGEST) { trouble.textContent = words.too_large; return }
    send("take", await file.text())
  }
  const open = fileButton(words.take, ".json,application/json", take, {
    press: { class: "link", "data-act": "choose" }, field: { "data-act": "take" },
  })
  return el("section", { class: "workbook" },
    el("h4", { class: "caps" }, words.workbook), el("p", { class: "quiet small" }, words.workbook_note),
    el("div", { class: "row" },
      begun ? link("save", words.save, () => save(kept.text())) : null,
      ...open,
      begun || aside ? forgetLink(sheet) : null),
    aside ? el("p", { class: "small" }, words.aside, " ", link("save-aside", words.save_aside, () => save(aside))) : null,
    trouble)
}
