// The page as a whole: looks on the root element, page-wide keys, the address, the connection.

import { inOrder, lastWord, makeOutbox } from "../shared/outbox.js"
import { keepRootsHere, speakWhenHeard, startReading } from "./mends.js"
import { hearRegionKeys } from "./regions.js"

const RETRY_MS = 3000       // BokehJS alone would wait longer each time, and at last for ever
const SETTLED_MS = 5000     // until then regions may still be drawn

const say = (text, label, press) => {
  const banner = document.getElementById("connection")
  banner.hidden = !text
  banner.replaceChildren(text)
  if (!label) return
  const button = document.createElement("button")
  button.type = "button"
  button.textContent = label
  button.addEventListener("click", press)
  banner.append(button)
}

// Who follows a link to a lesson came for its text, which on a narrow screen lies below the array.
const openAtLesson = () => {
  history.scrollRestoration = "manual"
  const lesson = document.getElementById("lesson")
  const follow = new ResizeObserver(() => lesson.scrollIntoView())    // what lies above it is still growing
  for (const region of document.querySelectorAll(".region")) follow.observe(region)
  const leave = () => follow.disconnect()
  for (const name of ["pointerdown", "wheel", "keydown", "focusin"]) addEventListener(name, leave, { once: true, passive: true })
  setTimeout(leave, SETTLED_MS)
}

export function render({ model }) {
  const root = document.documentElement
  const nothing = document.createElement("span")
  nothing.hidden = true
  // Each key counts; of the address and the looks the last word is enough.
  const outbox = makeOutbox(model, {
    merge: (waiting, wish) => (["address", "looks"].includes(wish.do) ? lastWord : inOrder)(waiting, wish),
    heard: message => {
      if (message.address !== undefined) renamed(message)
      if (message.shown) settled()
    },
  })
  const ask = (what, value = null) => outbox.say({ do: what, value })
  const keep = (key, value) => { try { localStorage.setItem("pvsim." + key, value) } catch { /* not allowed here */ } }
  const kept = key => { try { return localStorage.getItem("pvsim." + key) } catch { return null } }

  // Looks. What this browser kept wins at first; afterwards the server's state does.
  const first = { theme: root.dataset.theme, large: root.dataset.large === "true", keys: kept("keys") !== "false" }
  if (first.theme !== model.looks.theme || first.large !== model.looks.large || first.keys !== model.looks.keys) {
    ask("looks", first)
  }
  model.on("looks", () => {
    const { theme, large, keys } = model.looks
    root.dataset.theme = theme
    root.dataset.large = String(large)
    for (const [key, value] of Object.entries({ theme, large, keys })) keep(key, String(value))
  })

  // What would answer a prediction stays covered until it is given; the place it takes is kept.
  const cover = () => { root.dataset.hides = model.hides }
  model.on("hides", cover)
  cover()

  // Keys. None is taken while somebody types, or from a component that used it.
  const typing = event => {
    const at = event.composedPath()[0]
    return at instanceof HTMLElement && (at.isContentEditable || /^(TEXTAREA|SELECT)$/.test(at.tagName)
      || (at instanceof HTMLInputElement && !/^(checkbox|radio|range|button|submit|file)$/.test(at.type)))
  }
  const letters = { k: "keep", t: "theme", l: "large" }
  const key = event => {
    if (event.defaultPrevented || event.altKey || typing(event)) return
    const name = event.key.toLowerCase()
    const take = (what, value = null) => { event.preventDefault(); ask(what, value) }
    if (event.ctrlKey || event.metaKey) {
      if (name === "z") take(event.shiftKey ? "redo" : "undo")
      else if (name === "y") take("redo")
      return
    }
    if (!model.looks.keys || event.composedPath().some(node => node instanceof HTMLDialogElement)) return
    if (name === "?") { event.preventDefault(); document.dispatchEvent(new CustomEvent("pvsim:help")) }
    else if (letters[name] && !event.repeat) take(letters[name])
    else if (/^[1-5]$/.test(name)) take("level", Number(name))
  }
  document.addEventListener("keydown", key)
  const leaveRegions = hearRegionKeys()

  // The page's title: what is being read, and on which array.
  let reading = ""
  const titled = event => {
    if (event) reading = event.detail
    document.title = [reading, model.title, "pvsim"].filter(Boolean).join(" · ")
  }
  document.addEventListener("pvsim:titled", titled)
  model.on("title", () => titled())
  titled()

  // The address, once things have been still for a moment: browsers limit how often it may change.
  let timer = 0
  const outdated = () => {
    clearTimeout(timer)
    timer = setTimeout(() => ask("address"), 400)
  }
  model.on("revision", outdated)
  if (root.dataset.session) outdated()    // drawn anew after a gap, in which a change may have gone unheard
  // What fits into no address is kept in this tab, under a word in the address that asks for it.
  const BENCH = "pvsim.benchmark"
  let benched = null
  const bench = text => {
    if (text === benched) return
    benched = text
    try { if (text) sessionStorage.setItem(BENCH, text); else sessionStorage.removeItem(BENCH) }
    catch { if (text) ask("unkept") }
  }
  if (!root.dataset.session && new URLSearchParams(location.search).has("kept")) {
    let text = ""
    try { text = sessionStorage.getItem(BENCH) || "" } catch { /* not allowed here */ }
    ask("bench", text)    // before any change could write over it
  }
  const renamed = message => {
    bench(message.bench || "")
    const wanted = location.pathname + (message.address ? "?" + message.address : "")
    if (wanted !== location.pathname + location.search) history.replaceState(history.state, "", wanted + location.hash)
  }

  // What is shown makes the steps of the browser's history; what is done to the array does not, it has undo.
  const told = () => JSON.stringify(model.shown)
  let here = told(), going = 0
  const mark = () => history.replaceState({ ...history.state, pvsim: here }, "")
  const arrived = () => { clearTimeout(going); going = 0 }
  const step = () => {
    if (told() === here) return
    here = told()
    if (going) mark()
    else history.pushState({ pvsim: here }, "")
  }
  const went = event => {
    const wanted = event.state?.pvsim
    if (!wanted) return mark()          // a place within the page, which has an address of its own
    if (wanted === here) return
    going = setTimeout(arrived, SETTLED_MS)     // a server that is gone says nothing
    here = wanted
    ask("show", JSON.parse(wanted))
  }
  mark()
  model.on("shown", step)
  // What cannot be shown any more, as when a lecture is held, leaves one where one is.
  const settled = () => setTimeout(() => {
    arrived()
    if (told() !== here) step()
  })
  addEventListener("popstate", went)

  // The connection. After a gap the whole document comes anew, and with it this component; a server that
  // was started anew knows this page no more, so the page loads again and opens what its address carries.
  const page = model.model?.document ?? window.Bokeh.documents[0]
  if (root.dataset.session && root.dataset.session !== model.session) { location.reload(); return nothing }
  root.dataset.session = model.session
  if (!page.pvsim_hears) {
    page.pvsim_hears = true
    keepRootsHere(page)
    const { lost, again, back } = model.words
    let trying = 0, event = null
    const retry = () => event?.reconnect()
    page.on_event("connection_lost", (_page, latest) => {
      event = latest
      startReading(latest.connection?.deref())
      speakWhenHeard(latest.connection?.deref())
      say(lost, again, retry)
      clearTimeout(trying)
      trying = setTimeout(retry, Math.min(event.timeout ?? RETRY_MS, RETRY_MS))   // a class is waiting
    })
    page.on_event("client_reconnected", () => {
      clearTimeout(trying)
      say(back)
      setTimeout(() => say(""), 2500)
      document.dispatchEvent(new CustomEvent("pvsim:connected"))
    })
    addEventListener("online", retry)
  }

  // Where the status line stays over the page, what is scrolled to keeps clear of it.
  /** @type {HTMLElement} */
  const status = document.querySelector(".status")
  const grown = new ResizeObserver(() => root.style.setProperty("--status", `${status.offsetHeight}px`))
  grown.observe(status)

  if (new URLSearchParams(location.search).has("lesson") && !location.hash && matchMedia("(max-width: 699px)").matches) openAtLesson()
  root.dataset.ready = "true"
  model.on("remove", () => {
    clearTimeout(timer)
    outbox.close()
    grown.disconnect()
    removeEventListener("popstate", went)
    document.removeEventListener("keydown", key)
    leaveRegions()
    document.removeEventListener("pvsim:titled", titled)
  })
  return nothing
}
