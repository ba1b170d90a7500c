// @ts-check
// Where the eye and the keyboard are in a text, and where they go on when it is drawn anew.

import { find, withKeys } from "../shared/elements.js"

const READABLE = ".phase__title, .step, .prose > *, li, .form, .row"
const LEADS_ON = ["predict", "do", "observe", "settle", "put_back", "restart", "closing_answer"] // acts after which the next phase is read

/**
 * What is being read stays where it is while something above it is drawn anew.
 * @param {HTMLElement} body
 * @returns {() => void} to be called when it is drawn
 */
export function holdPlace(body) {
  const first = [...body.querySelectorAll(READABLE)].find(one => {
    const box = one.getBoundingClientRect()
    return box.height && box.top >= 0 && box.top < innerHeight
  })
  if (!first) return () => {}
  const top = first.getBoundingClientRect().top
  return () => {
    const away = first.isConnected ? first.getBoundingClientRect().top - top : 0
    const region = document.getElementById("lesson")
    if (Math.abs(away) < 1 || !region) return
    const scrolls = getComputedStyle(region).overflowY === "visible" ? document.scrollingElement : region
    if (scrolls) scrolls.scrollTop += away
  }
}

/**
 * What has the keys in a text, and what is typed there, to be given back when it is drawn anew.
 * @param {HTMLElement} body
 * @param {HTMLElement} host
 */
export function holdKeys(body, host) {
  const held = withKeys(host)
  const field = held instanceof HTMLInputElement || held instanceof HTMLSelectElement
  const typed = field && held.classList.contains("input") ? { id: held.id, value: held.value } : null
  return {
    typing: Boolean(typed),
    /** What was being typed. */
    retype() {
      const again = typed && /** @type {HTMLInputElement | null} */ (body.querySelector(`#${typed.id}`))
      if (again) { again.value = typed.value; again.focus({ preventScroll: true }) }
    },
    /** What had the keys, if it is still there. */
    refocus() {
      if (held instanceof HTMLElement && held !== host && held.isConnected && body.contains(held)) held.focus({ preventScroll: true })
    },
  }
}

/**
 * A page was turned to: its title, if that was the learner's own press.
 * @param {HTMLElement} root
 * @param {HTMLElement} body
 */
export function goToTop(root, body) {
  const first = find(body, ".step") || find(body, ".title")
  if (!first) return
  first.focus({ preventScroll: true })
  root.scrollIntoView({ block: "start" })
}

/**
 * Go where a press leads to on the same page: to what it says is wrong, or to the next phase.
 * @param {HTMLElement} body
 * @param {string} act
 * @param {boolean} typing whether the answer was given from its field, which then stays at hand to give another
 * @returns {boolean} whether it led anywhere yet
 */
export function goOn(body, act, typing) {
  const wrong = find(body, "[aria-invalid=true]")
  if (wrong && ["predict", "observe", "closing_answer"].includes(act)) {
    const target = wrong.matches("input") ? wrong : find(wrong, "input")
    target?.focus()
    return true
  }
  const open = find(body, ".phase--open .phase__title")
  if (!open || !LEADS_ON.includes(act)) return false
  const phase = open.closest(".phase")
  if (!typing || !phase?.querySelector(".form + * > .verdict--wrong")) open.focus({ preventScroll: true })
  phase?.scrollIntoView({ block: "nearest", behavior: "auto" })
  return true
}
