// @ts-check
// The way from the contents into a lecture: of one lesson, of the whole course, or from a file.

import { el } from "../shared/elements.js"

const LARGEST = 1000000

/** The section for lecturers.
 * @type {(lecture: Lesson.Contents["lecture"], sheet: Lesson.Sheet) => HTMLElement} */
export const lecturers = ({ lessons, wrong }, { words, send }) => {
  const trouble = el("p", { class: "wrong", role: "alert" }, wrong)
  const file = el("input", {
    type: "file", accept: ".toml,text/plain", class: "unseen", tabindex: "-1", "data-act": "lecture-file", "aria-label": words.lecture_file,
  })
  file.addEventListener("change", async () => {
    const chosen = file.files?.[0]
    file.value = ""
    if (!chosen) return
    if (chosen.size > LARGEST) { trouble.textContent = words.lecture_too_large; return }
    send("lecture", { name: chosen.name, text: await chosen.text() })
  })
  const select = el("select", { class: "input", id: "lecture-of" }, ...lessons.map(([slug, title]) => el("option", { value: slug }, title)))
  const prepare = el("button", { class: "button button--edge", type: "button", "data-act": "lecture", onclick: () => send("lecture", { lesson: select.value }) }, words.lecture_prepare)
  return el("section", { class: "lecturers" },
    el("h4", { class: "caps" }, words.lecture), el("p", { class: "quiet small" }, words.lecture_note),
    el("div", { class: "field" }, el("label", { for: "lecture-of" }, words.lecture_of), el("div", { class: "line" }, select, prepare)),
    el("div", { class: "row" },
      el("button", { class: "link", type: "button", "data-act": "lecture-choose", onclick: () => file.click() }, words.lecture_file), file),
    trouble)
}
