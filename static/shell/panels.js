// @ts-check
// The panels that open from the bar, one at a time: not modal, closed by Esc, by a press elsewhere, by Tab past
// their end. On a phone a panel is a sheet from below, and a tap beside it closes it and does nothing else.

import { el } from "../shared/elements.js"

const LEAST_SHEET_px = 220    // of a panel on a phone, also where the curves would leave it less
const EDGE_px = 8
const FIRST = "[aria-checked='true'], input:not([type=hidden]), button, select"
const narrow = matchMedia("(max-width: 699px)")

/** @typedef {{ button: HTMLElement, panel: HTMLElement }} Menu */

/**
 * @param {HTMLElement} bar what the panels hang from
 */
export function makePanels(bar) {
  /** @type {Map<string, Menu>} */
  const menus = new Map()
  /** @type {Menu | null} */
  let open = null
  /** @type {Element | null} */
  let asker = null    // what elsewhere on the page had it opened, and gets the keys again
  const veil = el("div", { class: "veil", hidden: true, onclick: () => shut(true) })

  /** @param {boolean} back whether what opened it has the keys then; the page stays where it was scrolled to */
  const shut = back => {
    if (!open) return
    const { button, panel } = open
    const opener = asker instanceof HTMLElement && asker.isConnected ? asker : button
    panel.hidden = veil.hidden = true
    button.setAttribute("aria-expanded", "false")
    open = asker = null
    if (back) opener.focus({ preventScroll: true })
  }

  /** @param {Menu} menu */
  const show = menu => {
    const again = open === menu
    shut(again)
    if (again) return
    menu.panel.hidden = veil.hidden = false
    menu.button.setAttribute("aria-expanded", "true")
    open = menu
    place(menu)
    const first = /** @type {HTMLElement | null} */ (menu.panel.querySelector(FIRST))
    first?.focus()
  }

  /** As high as leaves the curves in sight (top_bar.css), or below its button.
   * @param {Menu} menu */
  const place = ({ button, panel }) => {
    if (narrow.matches) {
      const bottom = document.getElementById("curves")?.getBoundingClientRect().bottom ?? 0
      const free = innerHeight - Math.max(0, bottom < innerHeight ? bottom : 0) - 6
      panel.style.left = ""
      panel.style.maxHeight = `${Math.max(free, Math.min(LEAST_SHEET_px, innerHeight - 60))}px`
      return
    }
    panel.style.left = "0px"
    const box = button.getBoundingClientRect(), outer = bar.getBoundingClientRect()
    const left = Math.max(EDGE_px, Math.min(box.left, innerWidth - panel.offsetWidth - EDGE_px))
    panel.style.left = `${left - outer.left}px`
    panel.style.maxHeight = `${innerHeight - outer.bottom - 12}px`
  }

  /** @param {PointerEvent} event */
  const press = event => {
    const path = event.composedPath()
    if (open && ![veil, open.panel, open.button].some(one => path.includes(one))) shut(false)
  }
  /** @param {KeyboardEvent} event */
  const escape = event => { if (event.key === "Escape" && open) { event.stopPropagation(); shut(true) } }
  /** @param {FocusEvent} event */
  const away = event => {
    const to = /** @type {Node | null} */ (event.relatedTarget)
    if (open && to && !open.panel.contains(to) && to !== open.button) shut(false)
  }
  /** @param {Event} event */
  const asked = event => {
    const menu = menus.get(/** @type {CustomEvent} */ (event).detail)
    if (!menu || open === menu) return
    let from = document.activeElement
    while (from?.shadowRoot?.activeElement) from = from.shadowRoot.activeElement
    show(menu)
    asker = from
  }
  const right = () => shut(false)
  const resized = () => { if (open) place(open) }
  document.addEventListener("pointerdown", press)
  document.addEventListener("pvsim:open", asked)
  document.addEventListener("pvsim:right", right)
  addEventListener("resize", resized)
  bar.addEventListener("keydown", escape)
  bar.addEventListener("focusout", away)

  return {
    veil, shut,
    /** @type {(id: string, button: HTMLElement, panel: HTMLElement) => void} */
    add(id, button, panel) {
      const menu = { button, panel }
      menus.set(id, menu)
      button.addEventListener("click", () => show(menu))
    },
    close() {
      document.removeEventListener("pointerdown", press)
      document.removeEventListener("pvsim:open", asked)
      document.removeEventListener("pvsim:right", right)
      removeEventListener("resize", resized)
    },
  }
}
