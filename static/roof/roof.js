// @ts-check
// The drawing of the roof: its elements, put together.

import { makeOutbox } from "../shared/outbox.js"
import { makeTraveller } from "./camera.js"
import { html, svg } from "./dom.js"
import { applyCamera, colour, draw, layOut, resized, settle, wakeFlow } from "./draw.js"
import { drawPatterns } from "./ground.js"
import { hover } from "./hover.js"
import { clicked, focused, keyDown } from "./keys.js"
import { makeLegend } from "./legend.js"
import { merge } from "./merge.js"
import { fitPalette, makePalette } from "./palette.js"
import { fitCrumbs, makeAddress } from "./path_bar.js"
import { doubled, lifted, moved, pressed, swiped } from "./pointer.js"
import { addShadow, chooseShadow, removeShadow, shadowField, shadowKey } from "./shadow_edit.js"
import { answered, changed, choose, close, newScene, rescale, say, stateCame, subscribe } from "./store.js"
import { chooseCondition, chooseScope, chooseTray, putRight } from "./tools.js"
import { boxKey, chooseWire } from "./wire.js"
import { firstWire } from "./wire_hand.js"
import { makeWord } from "./word.js"

/** What the component calls once for each page.
 * @param {{ model: Roof.Model }} component */
export function render({ model }) {
  const d = makeDrawing(model)
  model.on("scene", () => newScene(d))
  model.on("now", () => stateCame(d))
  model.on("remove", () => close(d))
  return d.root
}

export default { render }

/**
 * @param {Roof.Model} model
 * @returns {Roof.Store}
 */
function makeDrawing(model) {
  const words = model.words
  const root = html("div", { class: "roof", "data-testid": "roof" })
  const line = html("div", { class: "head-row" }, root)
  /** @type {any} the store, filled on the way to the end of this function */
  const d = {
    model, words, root, plan: null, now: null, camera: null, size: { width: 0, height: 0 }, typeScale: 1,
    level: "array", focus: {}, quantity: "irradiance", condition: "", theme: "light",
    tray: matchMedia("(pointer: coarse)").matches ? "look" : "shade", probe: "read:voltage", scope: "cell", hint: "", chosenShadow: -1, newShadow: -1, wire: firstWire(),
    value: () => 0, flags: () => 0, broken: new Map(),
    wanted: {}, // what was asked for and is not yet confirmed
    painted: new Map(), // the share of its light that paint leaves a cell, as known
    pending: new Map(), // the same, not yet confirmed
    tiles: null,
    active: null, // the module seen from near: its tile, ribbons, texts
    rows: [], // things to go to by keys, row by row
    current: null, // the one in the tab order
    cursor: "", // its key, as two leads of a module share one place ...
    cursorAt: "", // ... and where the focus was then: it holds until that changes
    stroke: null, // a press of the pointer and what it does
    strokes: Date.now(), // a number that no stroke has had, also after a gap in the connection
    keysStroke: 0,
    shadowEdit: null,
    subscribers: { scene: [], state: [], light: [], picture: [] },
    moving: 0, aimed: null, pointed: null, wiringKey: "", railKey: "",
    calm: matchMedia("(prefers-reduced-motion: reduce)"),
  }
  d.crumbs = html("nav", { class: "crumbs", "aria-label": words.path }, line)
  d.address = makeAddress(d, line)
  /** @type {Roof.Tools} */
  const tools = {
    tray: (name) => chooseTray(d, name),
    probe: (name) => { d.probe = name; changed(d) },
    condition: (condition) => chooseCondition(d, condition),
    scope: (scope) => chooseScope(d, scope),
    mendAll: () => say(d, { do: "mend-all" }),
    addShadow: (kind) => addShadow(d, kind),
    removeShadow: () => removeShadow(d),
    chooseShadow: (index) => chooseShadow(d, index),
    shadowField: (name, value) => shadowField(d, name, value),
    shadowKey: (event) => shadowKey(d, event),
    wire: (change) => chooseWire(d, change),
    say: (wish) => say(d, wish),
    boxKey: (event) => boxKey(d, event),
  }
  d.palette = makePalette(root, words, tools)
  makeStage(d)
  d.legend = makeLegend(root, words, { quantity: (/** @type {Roof.Quantity} */ quantity) => choose(d, { quantity }) })
  d.palette.word = makeWord(root, words)
  d.spoken = html("div", { class: "unseen", role: "status" }, root)
  d.outbox = makeOutbox(model, { merge, heard: (message) => answered(d, message) })
  d.traveller = makeTraveller((camera) => applyCamera(d, camera), () => settle(d))
  d.sizing = new ResizeObserver(() => { rescale(d); fitPalette(d.palette); fitCrumbs(d); resized(d) })
  d.sizing.observe(d.stage)
  d.looks = new MutationObserver(() => { rescale(d); fitPalette(d.palette); fitCrumbs(d) })
  d.looks.observe(document.documentElement, { attributes: true })
  subscribe(d, "scene", layOut)
  subscribe(d, "state", wakeFlow)
  subscribe(d, "light", colour)
  subscribe(d, "picture", draw)
  hear(d)
  newScene(d)
  return d
}

/** @param {any} d the store, on its way */
function makeStage(d) {
  d.stage = html("div", { class: "stage" }, d.root)
  d.image = svg("svg", { class: "image", role: "group", "aria-label": d.words.roof, tabindex: -1 }, d.stage)
  drawPatterns(svg("defs", {}, d.image))
  d.world = svg("g", { class: "world" }, d.image)
  const over = svg("g", { class: "over" }, d.image)
  d.layers = { over }
  for (const name of ["ground", "modules", "shadows"]) d.layers[name] = svg("g", { class: name }, d.world)
  for (const name of ["wiring", "side", "rail", "values", "measured", "circuit", "items", "rings", "handles"]) {
    d.layers[name] = svg("g", { class: `layer ${name}` }, over)
  }
  for (const name of ["ground", "shadows", "values", "measured", "rings"]) d.layers[name].setAttribute("aria-hidden", "true")
  d.rings = {
    hover: svg("rect", { class: "ring-hover", rx: 4 }, d.layers.rings),
    focus: svg("rect", { class: "ring-focus", rx: 4 }, d.layers.rings),
    lens: svg("path", { class: "lens" }, d.layers.rings),
  }
  d.also = html("p", { class: "also", hidden: true }, d.stage)
  d.palette.tip = html("p", { class: "hint tip", "aria-live": "polite" }, d.stage) // what a click could not do
  d.readout = html("span", {}, html("div", { class: "readout" }, d.root))
}

/** Listen to the drawing itself; what is heard from the whole page is let go of in `close`.
 * @param {Roof.Store} d */
function hear(d) {
  /** @type {Record<string, (d: Roof.Store, event: any) => void>} */
  const ears = {
    pointerdown: pressed, pointermove: moved, pointerup: lifted, pointercancel: lifted, lostpointercapture: lifted,
    touchmove: swiped, dblclick: doubled, click: clicked, keydown: keyDown, focusin: focused, pointerleave: () => hover(d, null),
  }
  d.ears = Object.entries(ears).map(([name, run]) => [name, (event) => run(d, event)])
  for (const [name, run] of d.ears) d.image.addEventListener(name, run)
  d.righter = () => putRight(d)
  document.addEventListener("pvsim:right", d.righter)
}
