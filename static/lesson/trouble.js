// @ts-check
// Files of a course that are not in order: where, what is wrong, how to mend it.

import { el } from "../shared/elements.js"

/** @type {(label: string, files: Lesson.Trouble[]) => HTMLElement} */
export const troubleList = (label, files) => el("section", { class: "trouble", "aria-label": label, tabindex: "0" }, ...files.map(one => el("div", {},
  el("p", { class: "trouble__file" }, one.title),
  el("ul", { lang: "en" }, ...one.problems.map(({ where, wrong, expected, mend }) => el("li", {},
    where ? el("span", { class: "trouble__line" }, where) : null,
    el("span", {}, `${wrong}; expected ${expected}.`), el("strong", {}, mend)))),
  one.more ? el("p", { class: "quiet small" }, one.more) : null)))
