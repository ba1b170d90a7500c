// @ts-check
// How the class joins with its phones: address, code and square, small beside a question or large.

import { el, svg } from "../shared/elements.js"

const PAD = 3 // light dots round a square, without which cameras do not find it

/** @type {(room: Lecture.Room, label: string) => SVGElement} */
const square = ({ dots, path }, label) => {
  const side = dots + 2 * PAD
  return svg("svg", { class: "square", viewBox: `${-PAD} ${-PAD} ${side} ${side}`, role: "img", "aria-label": label, "shape-rendering": "crispEdges" },
    svg("rect", { x: -PAD, y: -PAD, width: side, height: side, fill: "#fff" }), svg("path", { d: path, fill: "#000" }))
}

/**
 * Small, to be pressed; bars need the height, so beside them it is smaller yet.
 * @param {Lecture.Room} room
 * @param {boolean} aside
 * @param {Lecture.Hand} hand
 */
export const roomButton = (room, aside, { words, press }) =>
  el("button", { class: `room ${aside ? "room--aside" : ""}`, type: "button", "data-act": "join", onclick: () => press("join") },
    aside ? null : square(room, words.join),
    el("span", { class: "room__text" }, el("span", { class: "room__address" }, room.address), el("strong", { class: "room__code" }, room.code)),
    el("span", { class: "room__count" }, room.count))

/** Large, for the last row.
 * @type {(room: Lecture.Room, words: Lecture.Words) => HTMLElement} */
export const joinSheet = (room, words) => el("div", { class: "join" },
  square(room, words.join),
  el("div", { class: "join__text" },
    el("h3", { class: "title", tabindex: "-1" }, words.join),
    el("p", { class: "join__address" }, room.address),
    el("p", { class: "join__code" }, room.code),
    room.far ? el("p", { class: "wrong" }, room.far) : null,
    ...room.seen.map(text => el("p", { class: "wrong", "data-testid": "crowd" }, text))))
