// @ts-check
// The way from the contents into a lecture: of one lesson, of the whole course, or from a file.

import { el } from "../shared/elements.js"
import { fileButton } from "../shared/file_button.js"

const LARGEST = 1000000

/** The section for lecturers.
 * @type {(lecture: Lesson.Contents["lecture"], sheet: Lesson.Sheet) => HTMLElement} */
export const lecturers = ({ lessons, wrong }, { words, send }) => {
  const trouble = el("p", { class: "wrong", role: "alert" }, wrong)
  /** @param {File} file */
  const take = async file => {
    if (file.size > LARGEST) { trouble.textContent = words.lecture_too_large; return }
    send("lecture", { name: file.name, text: await file.text() })
  }
  const open = fileButton(words.lecture_file, ".toml,text/plain", take, {
    press: { class: "link", "data-act": "lecture-choose" }, field: { "data-act": "lecture-file" },
  })
  const select = el("select", { class: "input", id: "lecture-of" }, ...lessons.map(([slug, title]) => el("option", { value: slug }, title)))
  const prepare = el("button", { class: "button button--edge", type: "button", "data-act": "lecture", onclick: () => send("lecture", { lesson: select.value }) }, words.lecture_prepare)
  return el("section", { class: "lecturers" },
    el("h4", { class: "caps" }, words.lecture), el("p", { class: "quiet small" }, words.lecture_note),
    el("div", { class: "field" }, el("label", { for: "lecture-of" }, words.lecture_of), el("div", { class: "line" }, select, prepare)),
    el("div", { class: "row" }, ...open),
    trouble)
}
