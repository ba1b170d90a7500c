// @ts-check
// The day as it is looked at: picture, energies, and the film's controls below the picture.

import { el, icon } from "../shared/elements.js"
import { makeFilm } from "./film.js"
import { makePicture } from "./picture.js"

const PLAY = "M6 3.500v13l11-6.500z", PAUSE = "M5 4h3.500v12H5zM11.500 4H15v12h-3.500z"
/** From what there would be to what there is. @type {Day.Name[]} */
const ORDER = ["open", "shaded", "power", "followed"]

/**
 * @param {Day.Words} words
 * @param {(what: string, value?: unknown) => void} say
 * @param {() => boolean} waiting whether a time that was asked for has not come yet
 */
export function makeScreen(words, say, waiting) {
  /** @type {Day.Lines | null} */
  let lines = null
  let usable = false

  const film = makeFilm({
    count: () => (usable ? lines?.hour.length ?? 0 : 0),
    show: (at) => say("moment", at),
    changed: () => draw(),
  })
  const picture = makePicture(words, (at) => film.go(at))
  const button = el("button", { type: "button", class: "button button--edge play", onclick: () => toggle() })
  const slider = el("input", { type: "range", min: 0, max: 0, step: 1, value: 0, class: "scrub", "aria-label": words.time })
  const clock = el("output", { class: "clock number" })
  const spoken = el("p", { class: "unseen", role: "status" })
  const leave = el("button", { type: "button", class: "button button--edge leave", onclick: () => { film.leave(); say("leave") } }, words.leave)
  const toggle = () => (film.playing ? film.pause() : film.play())
  slider.addEventListener("input", () => film.go(Number(slider.value)))
  slider.addEventListener("keydown", (event) => {
    if (event.key !== " ") return
    event.preventDefault()
    toggle()
  })

  const cells = ORDER.map((name) => ({
    name, kWh: el("td", { class: "number" }), less: el("td", { class: "number" }), percent: el("td", { class: "number" }),
  }))
  const table = el("table", { class: "figures energies" }, el("caption", { class: "unseen" }, words.table),
    el("thead", {}, el("tr", {}, ...words.columns.map((text) => el("th", { scope: "col" }, text)))),
    el("tbody", {}, ...cells.map(({ name, kWh, less, percent }) => el("tr", {},
      el("th", { scope: "row" }, el("span", { class: `sample ${name}`, "aria-hidden": "true" }), words.lines[name]), kWh, less, percent))))
  const said = el("p", { class: "said" })
  const out = el("div", { class: "out", hidden: true }, ...["svg", "png"].map((kind) => el("button", {
    type: "button", class: "button button--edge", title: words[`export_${kind}_title`], "aria-label": words[`export_${kind}_title`], onclick: () => say("export", kind),
  }, words[`export_${kind}`])))
  const element = el("div", { class: "screen" },
    el("div", { class: "sight" }, picture.element,
      el("div", { class: "film", role: "group", "aria-label": words.film }, button, slider), spoken),
    el("div", { class: "sums" }, table, said, out))

  let wasPlaying = false
  const draw = () => {
    const { at, playing } = film
    const there = lines && at >= 0 && at < lines.hour.length ? lines : null
    picture.mark(there ? at : -1)
    const label = playing ? words.pause : words.play
    if (button.getAttribute("aria-label") !== label) {
      button.setAttribute("aria-label", label)
      button.title = label
      button.replaceChildren(icon(playing ? PAUSE : PLAY))
    }
    const text = there ? sentence(there, at) : ""
    if (there && slider.value !== String(at)) slider.value = String(at)
    slider.setAttribute("aria-valuetext", text || words.off)
    clock.textContent = text
    clock.hidden = leave.hidden = !there
    element.dispatchEvent(new CustomEvent("read"))
    if (wasPlaying && !playing) spoken.textContent = text // a film that plays is not read aloud time by time
    wasPlaying = playing
  }
  /** @type {(lines: Day.Lines, at: number) => string} */
  const sentence = ({ clock, azimuth, elevation, powers }, at) => {
    const power = powers.power[at]
    const sun = words.sun.replace("{azimuth}", String(Math.round(azimuth[at]))).replace("{elevation}", String(Math.round(elevation[at])))
    return [clock[at], power === null ? "" : `${Math.round(power)} W`, sun].filter(Boolean).join(" · ")
  }

  return {
    element,
    /** What time is shown, and the way back; for the head of the strip. */
    reading: [clock, leave],
    /** @param {Day.Lines | null} now */
    lines(now) {
      lines = now?.hour ? now : null
      slider.max = String(Math.max(0, (lines?.hour.length ?? 1) - 1))
      picture.show(lines)
      draw()
    },
    /** @param {Day.Now} now */
    show(now) {
      usable = now.stage === "computing" || now.stage === "done"
      button.disabled = slider.disabled = !usable || !lines
      element.classList.toggle("stale", now.stage === "stale")
      if (!usable || (now.at === null && film.at >= 0 && !waiting())) film.leave()
      for (const one of cells) {
        const row = now.rows.find(([name]) => name === one.name)
        one.kWh.textContent = row?.[2] ?? "…"
        one.less.textContent = row?.[3] ?? ""
        one.percent.textContent = row?.[4] ?? ""
      }
      said.textContent = now.said
      out.hidden = !now.rows.length
      picture.say(now.said)
      draw()
    },
    leave: () => film.leave(),
    close() {
      film.leave()
      picture.close()
    },
  }
}
