// @ts-check
// How the lecture stands with its time.

import { el } from "../shared/elements.js"

const SLACK_s = 30 // so much off the plan is on time

/** @param {number} seconds */
export const stamp = seconds => {
  const whole = Math.max(0, Math.round(seconds))
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`
}

/**
 * Whether one is where the plan wants one at that time, and by how much not.
 * @param {number} now_s since the lecture began
 * @param {{ from_s: number, due_s: number }} cue from when to when it is planned
 * @returns {{ is: "behind" | "ahead" | "on_time", by_s: number }}
 */
export const pace = (now_s, { from_s, due_s }) => {
  if (now_s - due_s > SLACK_s) return { is: "behind", by_s: now_s - due_s }
  if (from_s - now_s > SLACK_s) return { is: "ahead", by_s: from_s - now_s }
  return { is: "on_time", by_s: 0 }
}

/**
 * A clock that goes on by itself, except in a replay.
 * @param {Lecture.Model} model
 */
export function makeClock(model) {
  const { words } = model
  const time = el("span", { class: "clock__now" }), plan = el("span", { class: "clock__plan" })
  const element = el("span", { class: "clock" }, time, " · ", plan)
  let made = performance.now()

  const tick = () => {
    const { page } = model
    if (page.kind !== "cue") return
    const now = model.began_s + (page.mode === "replay" ? 0 : (performance.now() - made) / 1000)
    const { is, by_s } = pace(now, page)
    time.textContent = words.of.replace("{now}", stamp(now)).replace("{planned}", String(Math.round(page.planned_s / 60)))
    plan.textContent = words[is].replace("{time}", stamp(by_s))
    element.dataset.state = is === "behind" ? "late" : "well"
  }
  const timer = setInterval(tick, 1000)
  return {
    element, tick,
    /** The server has said anew how long it has gone on. */
    restart: () => { made = performance.now(); tick() },
    close: () => clearInterval(timer),
  }
}
