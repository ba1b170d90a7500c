// @ts-check
// Terms in the text: a dotted button; its meaning appears beside it by hover, focus or press, can be entered with
// the pointer, and goes by Escape, by a press elsewhere, or when pointer and focus have left (WCAG 2.2, 1.4.13).

import { withKeys } from "../shared/elements.js"

const LEAVE_MS = 220      // long enough to reach the meaning with the pointer
const REST_MS = 140       // a pointer that only passes by opens nothing
const EDGE = 12

/**
 * @param {{ model: { terms: Record<string, Lesson.Term> }, body: HTMLElement, root: HTMLElement }} sheet
 */
export const makeTerms = ({ model, body, root }) => {
  const card = document.createElement("div")
  card.className = "meaning"
  card.id = "meaning"
  card.setAttribute("role", "tooltip")
  if ("popover" in card) card.popover = "manual"      // above everything, cut by nothing
  card.hidden = !("popover" in card)
  root.append(card)

  /** @type {HTMLElement | null} */
  let open = null
  let pinned = false, timer = 0
  /** @type {(event: Event) => HTMLElement | null} */
  const termOf = event => event.target instanceof Element ? event.target.closest(".term") : null
  /** @type {(act: () => void, wait: number) => void} */
  const later = (act, wait) => { clearTimeout(timer); timer = setTimeout(act, wait) }

  /** @param {HTMLElement} open */
  const place = open => {
    const lines = open.getClientRects()
    const at = lines[0] || open.getBoundingClientRect()
    const last = lines[lines.length - 1] || at
    const sheet = root.getBoundingClientRect()
    card.style.maxWidth = `min(42ch, ${Math.min(sheet.width, innerWidth) - 2 * EDGE}px)`
    const { width, height } = card.getBoundingClientRect()
    const least = Math.max(sheet.left, 0) + EDGE, most = Math.min(sheet.right, innerWidth) - width - EDGE
    const below = last.bottom + 8
    card.style.left = `${Math.max(Math.min(at.left + at.width / 2 - width / 2, most), least)}px`
    card.style.top = `${below + height + EDGE <= innerHeight || at.top < height + EDGE ? below : at.top - height - 8}px`
  }

  /** @param {HTMLElement} button */
  const show = button => {
    clearTimeout(timer)
    const entry = model.terms[button.dataset.term ?? ""]
    if (!entry || open === button) return
    hide()
    open = button
    const title = document.createElement("strong")
    title.innerHTML = entry.term         // both written and escaped by pvsim.course.lesson.render
    const text = document.createElement("p")
    text.innerHTML = entry.meaning
    card.replaceChildren(title, text)
    if (entry.language) card.lang = entry.language
    else card.removeAttribute("lang")
    card.hidden = false
    if (card.showPopover) card.showPopover()
    place(button)
    button.setAttribute("aria-expanded", "true")
    button.setAttribute("aria-describedby", card.id)
  }

  const hide = () => {
    clearTimeout(timer)
    pinned = false
    if (!open) return
    open.setAttribute("aria-expanded", "false")
    open.removeAttribute("aria-describedby")
    open = null
    if (card.hidePopover) card.hidePopover()
    else card.hidden = true
  }

  const gone = () => { if (open && !pinned && !focused()) hide() }
  const focused = () => open && withKeys(open) === open && open.matches(":focus-visible")

  body.addEventListener("pointerover", event => {
    const button = termOf(event)
    if (button && event.pointerType !== "touch") later(() => show(button), open ? 0 : REST_MS)
  })
  body.addEventListener("pointerout", event => { if (termOf(event) && event.pointerType !== "touch") later(gone, LEAVE_MS) })
  card.addEventListener("pointerenter", () => clearTimeout(timer))
  card.addEventListener("pointerleave", event => { if (event.pointerType !== "touch") later(gone, LEAVE_MS) })
  body.addEventListener("focusin", event => { const button = termOf(event); if (button && button.matches(":focus-visible")) show(button) })
  // Without a place where the focus goes the text was drawn anew, or the window lost it.
  body.addEventListener("focusout", event => { if (open && termOf(event) === open && (event.relatedTarget || !pinned)) hide() })
  body.addEventListener("click", event => {
    const button = termOf(event)
    if (!button) return
    if (open === button && pinned) { hide(); return }
    show(button)
    pinned = true
  })

  /** @param {KeyboardEvent} event */
  const key = event => { if (event.key === "Escape" && open) { event.stopPropagation(); hide() } }
  /** @param {Event} event */
  const away = event => {
    const path = event.composedPath()
    if (open && !path.includes(open) && !path.includes(card)) hide()
  }
  const moved = () => {
    if (!open) return
    const at = open.getBoundingClientRect()
    if (at.bottom < 0 || at.top > innerHeight) hide()
    else place(open)
  }
  addEventListener("keydown", key, true)       // before keys of the page that Escape also serves
  addEventListener("pointerdown", away, true)
  addEventListener("scroll", moved, true)
  addEventListener("resize", moved)

  return {
    // After the text was drawn anew: what was open may be gone.
    drawn: () => {
      for (const button of body.querySelectorAll(".term:not([aria-expanded])")) button.setAttribute("aria-expanded", "false")
      if (open && !open.isConnected) hide()
    },
    remove: () => {
      hide()
      removeEventListener("keydown", key, true)
      removeEventListener("pointerdown", away, true)
      removeEventListener("scroll", moved, true)
      removeEventListener("resize", moved)
    },
  }
}
