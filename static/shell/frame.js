// @ts-check
// The page as a whole: looks on the root element, page-wide keys, the address, the connection.

import { el, find } from "../shared/elements.js"
import { inTab } from "../shared/keep.js"
import { inOrder, lastWord, makeOutbox } from "../shared/outbox.js"
import { followSheet } from "../sheet/sheet.js"
import { followCurve } from "../traced/traced.js"
import { followAddress, followHistory } from "./address.js"
import { followConnection } from "./connection.js"
import { hearDrops } from "./drops.js"
import { followLooks, followTitle } from "./looks.js"
import { hearPageKeys } from "./page_keys.js"
import { hearPrinter } from "./paper.js"
import { hearRegionKeys } from "./regions.js"

const SETTLED_MS = 5000     // until then regions may still be drawn
const NARROW = "(max-width: 699px)"

// Who follows a link to a lesson came for its text, which on a narrow screen lies below the array.
const openAtLesson = () => {
  history.scrollRestoration = "manual"
  const lesson = document.getElementById("lesson")
  const follow = new ResizeObserver(() => lesson?.scrollIntoView())    // what lies above it is still growing
  for (const region of document.querySelectorAll(".region")) follow.observe(region)
  const leave = () => follow.disconnect()
  for (const name of ["pointerdown", "wheel", "keydown", "focusin"]) addEventListener(name, leave, { once: true, passive: true })
  setTimeout(leave, SETTLED_MS)
}

/** Where the status line stays over the page, what is scrolled to keeps clear of it. Gives back what ends that. */
const keepClearOfStatus = () => {
  const status = find(document, ".status")
  const grown = new ResizeObserver(() => document.documentElement.style.setProperty("--status", `${status?.offsetHeight ?? 0}px`))
  if (status) grown.observe(status)
  return () => grown.disconnect()
}

/** @param {{ model: Shell.Frame, view: Shell.View }} component */
export function render({ model, view }) {
  const { dataset } = document.documentElement
  const root = el("div")    // nothing to see, until a dialog stands in it
  // Each key counts; of the address and the looks the last word is enough.
  const outbox = makeOutbox(model, {
    merge: (waiting, wish) => (["address", "looks"].includes(wish.do) ? lastWord : inOrder)(waiting, wish),
    heard: (/** @type {Shell.Answer} */ message) => {
      if (message.address !== undefined) address.renamed(message)
      if (message.shown) steps.settled()
      if (message.sheet) sheet.hear(message.sheet)
      if (message.traced) curve.hear(message.traced)
    },
  })
  /** @type {Shell.Ask} */
  const ask = (what, value = null) => outbox.say({ do: what, value })

  const unkept = () => ask("unkept", "rest")
  document.addEventListener("pvsim:unkept", unkept, { once: true })
  followLooks(model, ask)
  const ends = [hearPageKeys(model, ask), hearRegionKeys(), hearPrinter(), followTitle(model)]
  const address = followAddress(model, ask)
  const steps = followHistory(model, ask)
  const sheet = followSheet(root, (act, value = null) => ask("sheet", { act, value }))
  const curve = followCurve(root, (act, value = null) => ask("traced", { act, value }))
  ends.push(() => document.removeEventListener("pvsim:unkept", unkept))
  ends.push(address.close, steps.close, sheet.close, curve.close, hearDrops(ask))

  // A server that was started anew knows this page no more, so the page loads again and opens what its address carries.
  if (dataset.session && dataset.session !== model.session) { location.reload(); return root }
  dataset.session = model.session
  followConnection(model.model?.document ?? Bokeh.documents[0], model.words)
  ends.push(keepClearOfStatus())

  // The day on the roof and the field desk have their places among the regions, and come when they are first opened.
  // After a gap, when the page is drawn anew, they are there already.
  for (const name of /** @type {const} */ (["day", "field"])) {
    const seat = () => find(document, `#${name}`)?.replaceChildren(model.get_child(name))
    if (model[name]) seat()
    view.on_child_render(name, () => {
      seat()
      view.render_children()
      ask("seated")    // BokehJS names a part that came later in full in its page's next message: that is to be no wish of the part
    })
  }

  const search = inTab.get("search")
  if (search) ask("search", search)
  if (new URLSearchParams(location.search).has("lesson") && !location.hash && matchMedia(NARROW).matches) openAtLesson()
  dataset.ready = "true"
  model.on("remove", () => {
    outbox.close()
    for (const end of ends) end()
  })
  return root
}
