// @ts-check
// How the class joins with its phones: address, code and square, small beside a question or large.

import { el } from "../shared/elements.js"
import { squareOf } from "../shared/square.js"

/**
 * Small, to be pressed; bars need the height, so beside them it is smaller yet.
 * @param {Lecture.Room} room
 * @param {boolean} aside
 * @param {Lecture.Hand} hand
 */
export const roomButton = (room, aside, { words, press }) =>
  el("button", { class: `room ${aside ? "room--aside" : ""}`, type: "button", "data-act": "join", onclick: () => press("join") },
    aside ? null : squareOf(room, words.join),
    el("span", { class: "room__text" }, el("span", { class: "room__address" }, room.address), el("strong", { class: "room__code" }, room.code)),
    el("span", { class: "room__count" }, room.count))

/** Large, for the last row.
 * @type {(room: Lecture.Room, words: Lecture.Words) => HTMLElement} */
export const joinSheet = (room, words) => el("div", { class: "join" },
  squareOf(room, words.join),
  el("div", { class: "join__text" },
    el("h3", { class: "title", tabindex: "-1" }, words.join),
    el("p", { class: "join__address" }, room.address),
    el("p", { class: "join__code" }, room.code),
    room.far ? el("p", { class: "wrong" }, room.far) : null,
    ...room.seen.map(text => el("p", { class: "wrong", "data-testid": "crowd" }, text))))
