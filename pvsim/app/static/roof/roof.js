// The drawing of the roof: keeps what is shown in step with the page, and tells it what was done.

import { amount, clamp, fitted, html, placeKey, plain, put, shorts, bytes, svg, write } from "./dom.js"
import { makeGate } from "./gate.js"
import { framing, makeTraveller } from "./camera.js"
import { boxOf, cellBox, cellUnder, cellsAlong, makePlan, moduleAt, moduleOfCell, moduleUnder, substringOf } from "./plan.js"
import { colourCells, colourTile, dropCells, fillCells, makeTiles, markCell } from "./tiles.js"
import { GUTTER, RIGHT, drawWiring } from "./wiring.js"
import { drawRail, drawRibbons, drawValues, updateFlows, updateValues, valueText } from "./detail.js"
import { drawCircuit } from "./circuit.js"
import { drawHandles, drawShadows, isBand, keyed, outlinesOf, stretched, turned } from "./shadows.js"
import { mergeRail, stepFrom } from "./grid.js"
import { makeLegend, makePalette, trayOf, updateLegend, updatePalette } from "./palette.js"

const LEVELS = ["array", "string", "module", "substring", "cell"]
const TRAVEL_MS = 420
const FLOW_MS = 4500 // moving lines come to rest by themselves (WCAG 2.2.2 asks for at most 5 s)
const REST_MS = 350
const EATS = 1
const BYPASSED = 2
const SHADED = 4

export function render({ model, el }) {
  const drawing = makeDrawing(model)
  model.on("scene", () => drawing.newScene())
  model.on("now", () => drawing.newState())
  model.on("msg:custom", (message) => drawing.answered(message))
  model.on("remove", () => drawing.close())
  void el
  return drawing.root
}

export default { render }

function makeDrawing(model) {
  const words = JSON.parse(model.words)
  const root = html("div", { class: "roof" })
  const head = html("div", { class: "head-row" }, root)
  const crumbs = html("nav", { class: "crumbs", "aria-label": words.path }, head)
  const address = makeAddress(head)
  const palette = makePalette(root, words, {
    tray: chooseTray, condition: chooseCondition, scope: chooseScope, mendAll: () => say({ do: "mend-all" }),
    addShadow, removeShadow, shadowField, chooseShadow, shadowKey: (event) => shadowKey(event),
  })
  const stage = html("div", { class: "stage" }, root)
  const image = svg("svg", { class: "image", role: "group", "aria-label": words.roof }, stage)
  const world = svg("g", { class: "world" }, image)
  const layers = {
    ground: svg("g", { class: "ground", "aria-hidden": "true" }, world),
    modules: svg("g", { class: "modules" }, world),
    shadows: svg("g", { class: "shadows", "aria-hidden": "true" }, world),
    over: svg("g", { class: "over" }, image),
  }
  for (const name of ["wiring", "rail", "values", "circuit", "items", "rings", "handles"]) {
    layers[name] = svg("g", { class: `layer ${name}` }, layers.over)
  }
  for (const name of ["values", "rings", "circuit"]) layers[name].setAttribute("aria-hidden", name === "circuit" ? "false" : "true")
  drawPatterns(svg("defs", {}, image))
  const rings = {
    hover: svg("rect", { class: "ring-hover", rx: 4 }, layers.rings),
    focus: svg("rect", { class: "ring-focus", rx: 4 }, layers.rings),
    lens: svg("path", { class: "lens" }, layers.rings),
  }
  const also = html("p", { class: "also", hidden: true }, stage)
  const readout = html("div", { class: "readout" }, root)
  const spoken = html("div", { class: "unseen", role: "status" }, root)
  const legend = makeLegend(root, words, { quantity: (quantity) => choose({ quantity }) })

  const calm = matchMedia("(prefers-reduced-motion: reduce)")
  const view = {
    words, plan: null, now: null, size: { width: 0, height: 0 }, camera: null, typeScale: 1,
    level: "array", focus: {}, quantity: "irradiance", condition: "shade:0.2", theme: "light",
    tray: matchMedia("(pointer: coarse)").matches ? "look" : "shade", scope: "cell", hint: "", chosenShadow: -1,
    value: () => 0, flags: () => 0, broken: new Map(),
  }
  const wanted = {} // what was asked for and is not yet confirmed
  const painted = new Map() // transmission of cells painted by themselves, as known
  const pending = new Map() // the same, not yet confirmed
  let tiles = null
  let active = null // the module seen from near: its tile, ribbons, texts
  let rows = [] // things to go to by keys, row by row
  let current = null // the one in the tab order
  let stroke = null // a press of the pointer and what it does
  let strokes = 0
  let moving = 0
  let hoverKey = ""
  let wiringKey = ""
  let railKey = ""
  let shadowEdit = null
  const gate = makeGate((message) => model.send_msg(message))
  const traveller = makeTraveller(applyCamera, settle)
  const sizing = new ResizeObserver(() => resized())
  sizing.observe(stage)

  const listen = [
    [image, "pointerdown", pressed], [image, "pointermove", moved], [image, "pointerup", lifted], [image, "pointercancel", lifted],
    [image, "lostpointercapture", lifted], [image, "pointerleave", () => hover(null)], [image, "dblclick", doubled],
    [image, "keydown", keyDown], [image, "focusin", focused], [image, "click", clicked],
  ]
  for (const [target, name, run] of listen) target.addEventListener(name, run)
  newScene()

  return { root, newScene, newState, answered, close, view, gate }

  // What the page says

  function newScene() {
    view.plan = makePlan(JSON.parse(model.scene))
    layers.modules.replaceChildren()
    layers.shadows.replaceChildren()
    layers.shadows.key = null
    drawGround()
    tiles = makeTiles(layers.modules, view.plan, view.plan.scene.whole)
    active = null
    wiringKey = railKey = ""
    traveller.halt()
    view.arrived = false
    newState()
  }

  function newState() {
    const now = JSON.parse(model.now)
    if (now.scene !== JSON.parse(model.scene).key) return // the scene that goes with it follows
    if (view.lecture !== now.lecture) {
      view.lecture = now.lecture
      view.typeScale = now.lecture ? 1.4 : 1
      wiringKey = railKey = ""
      view.arrived = false
    }
    view.now = now
    readCells(now.cells)
    view.theme = now.theme
    painted.clear()
    for (const [cell, through] of now.painted) painted.set(cell, through)
    for (const [cell, through] of pending) painted.set(cell, through)
    if (shadowEdit) now.shadows[shadowEdit.index] = { ...now.shadows[shadowEdit.index], ...shadowEdit.values }
    adopt()
    wakeFlow()
    draw()
  }

  /** Take over what the page shows, unless something newer was asked for here. */
  function adopt() {
    const { now } = view
    const before = `${view.level} ${placeKey(view.focus)}`
    view.level = wanted.level ?? now.level
    view.focus = wanted.focus ?? now.focus
    view.quantity = wanted.quantity ?? now.quantity
    const condition = wanted.condition ?? now.condition
    if (condition !== view.condition) {
      view.condition = condition
      const tray = trayOf(condition, words)
      if (!(view.tray === "break" && words.groups.some((g) => g.sets.some((s) => s.kinds.some(([c]) => c === condition))))) view.tray = tray
      if (tray === "break") view.scope = words.kinds[condition.split(":")[0]].group
    }
    if (view.chosenShadow >= now.shadows.length) view.chosenShadow = now.shadows.length - 1
    if (wanted.newShadow !== undefined && now.shadows.length > wanted.newShadow) {
      view.chosenShadow = now.shadows.length - 1
      delete wanted.newShadow
    }
    return before !== `${view.level} ${placeKey(view.focus)}`
  }

  function answered(message) {
    if (message.answered === undefined) return
    if (message.address !== undefined) address.tell(message.address)
    gate.answered(message.answered)
    if (gate.busy) return
    for (const key of Object.keys(wanted)) delete wanted[key]
    if (!stroke) {
      const had = pending.size
      pending.clear()
      if (!shadowEdit?.held) shadowEdit = null
      if (had) newState()
    }
    if (adopt()) draw()
  }

  function readCells(cells) {
    const values = shorts(cells.values)
    const flags = bytes(cells.flags)
    const { ranges, quantum } = cells
    if (ranges.length === 1 && ranges[0][0] === 0) {
      view.value = (cell) => values[cell] * quantum
      view.flags = (cell) => flags[cell]
    } else {
      const place = (cell) => {
        let base = 0
        for (const [start, count] of ranges) {
          if (cell >= start && cell < start + count) return base + cell - start
          base += count
        }
        return -1
      }
      view.value = (cell) => (place(cell) < 0 ? NaN : values[place(cell)] * quantum)
      view.flags = (cell) => (place(cell) < 0 ? 0 : flags[place(cell)])
    }
    view.known = (module) => ranges.some(([start, count]) => module.cell >= start && module.cell < start + count)
  }

  function say(wish) {
    gate.say(wish)
  }

  function choose(values) {
    Object.assign(wanted, values)
    say({ do: "choose", ...values })
    adopt()
    draw()
  }

  function show(focus, level) {
    Object.assign(wanted, { focus, level })
    say({ do: "show", focus: placeKey(focus), level })
    adopt()
    draw()
  }

  // Drawing

  function draw() {
    if (!view.now || !view.size.width) return
    const held = image.contains(root.getRootNode().activeElement) && image !== root.getRootNode().activeElement
    chooseActive()
    put(root, "data-level", view.level)
    put(root, "data-tray", view.tray)
    put(root, "data-theme", view.theme)
    colour()
    drawShadows(layers.shadows, view.plan, view.now.shadows, view.tray === "shadow" ? view.chosenShadow : -1)
    drawCrumbs()
    tellAlso()
    updatePalette(palette, view)
    updateLegend(legend, view)
    const target = framing(...frame())
    if (!view.target || ["scale", "x", "y"].some((k) => Math.abs(view.target[k] - target[k]) > 1e-6) || !view.arrived) {
      const jump = !view.arrived || view.resizing || calm.matches
      view.target = target
      view.arrived = false
      layers.over.classList.add("away")
      traveller.go(target, jump ? 0 : TRAVEL_MS)
    } else overlay()
    if (held) current?.element?.focus({ preventScroll: true })
  }

  /** The module seen from near gets ribbons and texts; in a large array only near modules have cells. */
  function chooseActive() {
    const near = LEVELS.indexOf(view.level) >= 2
    const module = near ? moduleAt(view.plan, view.focus) ?? view.plan.modules[view.now.detail?.module ?? 0] : null
    if (!tiles.whole) {
      for (const one of tiles.groups) {
        if (view.known(one.module)) fillCells(one)
        else dropCells(one)
      }
    }
    if (active && active.module !== module) {
      active.ribbons.group.remove()
      active.tile.group.classList.remove("active")
      for (const row of active.tile.rows ?? []) row.removeAttribute("role")
      active.tile.box?.removeAttribute("role")
      for (const cell of active.tile.cells ?? []) for (const name of ["role", "tabindex", "aria-label", "aria-selected"]) cell.removeAttribute(name)
      active = null
    }
    if (module && !active) {
      const tile = tiles.groups[module.index]
      fillCells(tile)
      tile.group.classList.add("active")
      layers.modules.appendChild(tile.group)
      active = { module, tile, ribbons: drawRibbons(tile), texts: null }
      put(tile.box, "role", "grid")
      put(tile.box, "aria-label", fitted(words.module_grid, { string: module.string, module: module.number }))
      tile.rows.forEach((row, k) => {
        put(row, "role", "row")
        put(row, "aria-label", fitted(words.row, { row: k + 1 }))
      })
      railKey = ""
    }
    const chosen = view.focus.string || 1
    for (const one of tiles.groups) {
      const away = near ? one.module !== module : view.level === "string" && one.module.string !== chosen
      one.group.classList.toggle("faded", away)
    }
    if (active) {
      const part = view.level === "substring" ? activeSubstring() : null
      active.tile.cells.forEach((cell, local) => cell.classList.toggle("aside", !!part && (local < part.first || local >= part.first + part.count)))
    }
  }

  function activeSubstring() {
    const { shape } = active.module
    const number = view.focus.substring || view.focus.diode || (view.focus.cell ? substringOf(shape, view.focus.cell - 1) : 1)
    return shape.substrings[clamp(number, 1, shape.substrings.length) - 1]
  }

  function colour() {
    const { now, theme } = view
    const eating = new Set(tiles.whole ? [] : now.modules.eats)
    const faults = (view.broken = new Map())
    for (const [cell, kind] of now.faults.cell) faults.set(cell, [...(faults.get(cell) ?? []), kind])
    for (const one of tiles.groups) {
      if (!one.cells) {
        colourTile(one, now.scale, theme, now.modules.value[one.module.index], eating.has(one.module.index))
        continue
      }
      colourCells(one, now.scale, theme, shownValue)
      for (let local = 0; local < one.cells.length; local++) {
        const cell = one.module.cell + local
        const flags = view.flags(cell)
        const own = faults.get(cell)
        const through = pending.get(cell)
        if (!flags && !own && through === undefined && !one.marks.size) continue
        const marks = []
        if (through === undefined ? flags & SHADED : through < 1) marks.push("shaded")
        if (flags & EATS) marks.push("eats")
        if (own) marks.push(...own)
        if (marks.length && one.darkInk[one.colour[local]]) marks.push("on-light")
        markCell(one, local, marks)
      }
    }
  }

  /** The value to colour by: what the solver found, or what paint not yet confirmed will make of the light. */
  function shownValue(cell) {
    const value = view.value(cell)
    const through = pending.get(cell)
    if (through === undefined || view.quantity !== "irradiance") return value
    const known = view.now.painted.find((one) => one[0] === cell)
    const before = known ? known[1] : 1
    return before > 0 ? (value / before) * through : view.now.scale.high * through
  }

  function frame() {
    const { width, height } = view.size
    const { plan, level } = view
    if (level === "array") {
      return [plan.box, { left: GUTTER, top: 34, width: width - GUTTER - RIGHT, height: height - 64 }]
    }
    if (level === "string") {
      const string = plan.strings[(view.focus.string || 1) - 1] ?? plan.strings[0]
      return [boxOf(string.modules), { left: GUTTER, top: 34, width: width - GUTTER - RIGHT, height: height - 112 }]
    }
    const module = active.module
    if (level === "cell") return [module, miniRoom()]
    const rail = module.shape.rail
    const room = { left: 26, top: 24, width: width - 52, height: height - 44 }
    if (rail === "top") Object.assign(room, { top: 92, height: height - 106 })
    if (rail === "bottom") Object.assign(room, { top: 16, height: height - 106 })
    if (rail === "left") Object.assign(room, { left: 140, width: width - 164 })
    if (rail === "right") Object.assign(room, { left: 24, width: width - 164 })
    if (rail === "across") Object.assign(room, { left: 42, width: width - 84 })
    if (rail === "down" || rail === "left" || rail === "right") Object.assign(room, { top: 42, height: height - 84 })
    if (level === "substring") return [substringBox(module), room]
    return [module, room]
  }

  function substringBox(module) {
    const part = activeSubstring()
    const boxes = []
    for (let local = part.first; local < part.first + part.count; local++) boxes.push(cellBox(module, local))
    return boxOf(boxes)
  }

  function miniRoom() {
    const { width, height } = view.size
    if (width < 460) return { left: 14, top: 8, width: width - 28, height: height * 0.26 }
    return { left: 12, top: 18, width: Math.min(width * 0.22, 190), height: height - 36 }
  }

  function applyCamera(camera) {
    view.camera = camera
    world.setAttribute("transform", `translate(${camera.x.toFixed(2)} ${camera.y.toFixed(2)}) scale(${camera.scale.toFixed(5)})`)
    world.style.setProperty("--px", (1 / camera.scale).toFixed(3))
  }

  function settle() {
    view.arrived = true
    view.resizing = false
    layers.over.classList.remove("away")
    wiringKey = railKey = ""
    overlay(true)
  }

  /** All that keeps its size on the screen: wires, labels, junction box, values, rings. */
  function overlay(fresh = false) {
    if (!view.arrived) return
    const { level, now } = view
    const far = level === "array" || level === "string"
    const signs = JSON.stringify([now.strings, now.trackers, now.faults, now.diodes, level, level === "string" && [now.modules, view.focus.string]])
    if (far && (fresh || wiringKey !== signs)) {
      wiringKey = signs
      view.boxes = drawWiring(layers.wiring, view)
    }
    if (!far) layers.wiring.replaceChildren()
    if (active) {
      updateFlows(active.ribbons.flows, view, active.module)
      const railSigns = JSON.stringify([now.diodes, now.faults.diode, now.faults.module, now.detail?.diode_current, now.detail?.current[0], level])
      if (fresh || railKey !== railSigns) {
        railKey = railSigns
        active.rail = level === "cell" ? (layers.rail.replaceChildren(), { items: [], rail: { upright: false } }) : drawRail(layers.rail, view, active.module)
      }
      if (fresh) {
        active.texts = level === "cell" ? (layers.values.replaceChildren(), null) : drawValues(layers.values, view, active.module, level === "substring" ? activeSubstring() : null)
      }
      updateValues(active.texts, view, active.module)
    } else {
      layers.rail.replaceChildren()
      layers.values.replaceChildren()
    }
    drawCard()
    listItems()
    drawRings()
    drawHandles(layers.handles, view.tray === "shadow" ? now.shadows[view.chosenShadow] : null, view.plan, view.camera, words)
    tellReadout()
  }

  function drawCard() {
    const { cell } = view.now
    if (view.level !== "cell" || !cell) {
      layers.circuit.replaceChildren()
      put(rings.lens, "d", "")
      return
    }
    const { width, height } = view.size
    const mini = miniRoom()
    const room = width < 460
      ? { left: 10, top: mini.top + mini.height + 14, width: width - 20, height: height - mini.top - mini.height - 22 }
      : { left: mini.left + mini.width + 22, top: 12, width: width - mini.left - mini.width - 34, height: height - 24 }
    layers.circuit.replaceChildren()
    svg("rect", { class: "card", x: room.left, y: room.top, width: room.width, height: room.height, rx: 8 }, layers.circuit)
    const inner = { left: room.left + 14, top: room.top + 10, width: room.width - 28, height: room.height - 20 }
    drawCircuit(svg("g", {}, layers.circuit), cell, words.circuit, inner)
    const box = screenBox(cellBox(active.module, clamp(view.focus.cell || 1, 1, active.module.cells) - 1))
    put(rings.lens, "d", width < 460
      ? `M${box.left} ${box.top + box.height}L${room.left} ${room.top}M${box.left + box.width} ${box.top + box.height}L${room.left + room.width} ${room.top}`
      : `M${box.left + box.width} ${box.top}L${room.left} ${room.top}M${box.left + box.width} ${box.top + box.height}L${room.left} ${room.top + room.height}`)
  }

  function screenBox(box) {
    const { scale, x, y } = view.camera
    return { left: box.left * scale + x, top: box.top * scale + y, width: box.width * scale, height: box.height * scale }
  }

  // Things to go to by keys

  function listItems() {
    if (view.level === "array" || view.level === "string") listFar()
    else listNear()
    const key = itemKeyOfFocus()
    const all = rows.flat()
    current = all.find((item) => item.key === key) ?? all.find((item) => item.key === placeKey({ string: view.focus.string, module: view.focus.module })) ?? all[0] ?? null
    for (const item of all) {
      put(item.element, "tabindex", item === current ? "0" : "-1")
      put(item.element, "aria-label", item.label())
    }
  }

  function itemKeyOfFocus() {
    if (view.level === "array" || view.level === "string") return placeKey({ string: view.focus.string, module: view.focus.module })
    if (view.focus.cell || view.focus.diode) return placeKey(view.focus)
    const part = activeSubstring()
    return placeKey({ string: active.module.string, module: active.module.number, cell: part.first + 1 })
  }

  function listFar() {
    const { plan } = view
    const chosen = view.level === "string" ? view.focus.string || 1 : 0
    const key = `${view.level} ${chosen} ${JSON.stringify(view.camera)}`
    if (layers.items.key === key) return
    layers.items.key = key
    layers.items.replaceChildren()
    const grid = svg("g", { role: "grid", "aria-label": chosen ? fitted(words.string_grid, { string: chosen }) : words.array_grid }, layers.items)
    rows = []
    for (const string of plan.strings) {
      if (chosen && string.number !== chosen) continue
      let row = null
      let at = -1
      for (const module of string.modules) {
        if (module.row !== at) {
          at = module.row
          const group = svg("g", { role: "row", "aria-label": fitted(words.string_row, { string: string.number }) }, grid)
          row = { group, list: [] }
          rows.push(row.list)
          if (module === string.modules[0]) addFar(row, `${string.number}`, { string: string.number }, "string", () => stringLabel(string))
        }
        addFar(row, `${string.number}/${module.number}`, { string: string.number, module: module.number }, "module", () => moduleLabel(module))
      }
    }
  }

  function addFar(row, key, place, kind, label) {
    const box = view.boxes.get(key)
    const element = svg("rect", { class: "item", role: "gridcell", x: box.left, y: box.top, width: box.width, height: box.height, "data-key": key }, row.group)
    row.list.push({ key, place, element, kind, box, label })
  }

  function listNear() {
    const { module, tile } = active
    const part = view.level === "substring" ? activeSubstring() : null
    layers.items.replaceChildren()
    layers.items.key = ""
    const place = { string: module.string, module: module.number }
    const cells = module.shape.rows
      .map((locals) => locals.filter((local) => !part || (local >= part.first && local < part.first + part.count)).map((local) => {
        const element = tile.cells[local]
        put(element, "role", "gridcell")
        return {
          key: placeKey({ ...place, cell: local + 1 }), place: { ...place, cell: local + 1 }, element, kind: "cell",
          box: screenBox(cellBox(module, local)), label: () => cellLabel(module.cell + local, local + 1),
        }
      }))
      .filter((row) => row.length)
    const rail = active.rail.items.filter((item) => !part || item.kind !== "diode" || item.place.diode === module.shape.substrings.indexOf(part) + 1)
    for (const item of rail) item.label = () => railLabel(item)
    rows = mergeRail(cells, rail, active.rail.rail)
  }

  function cellLabel(cell, number) {
    const { scale } = view.now
    const parts = [fitted(words.cell, { cell: number }), `${valueText(view.quantity, view.value(cell))} ${scale.unit}`]
    const flags = view.flags(cell)
    if (pending.has(cell) ? pending.get(cell) < 1 : flags & SHADED) parts.push(words.said.shaded)
    if (flags & EATS) parts.push(words.said.eats)
    if (flags & BYPASSED) parts.push(words.said.bypassed)
    for (const [at, kind] of view.now.faults.cell) if (at === cell) parts.push(words.kinds[kind].title)
    return parts.join(", ")
  }

  function railLabel(item) {
    const { module } = active
    const faults = (level, at) => (view.now.faults[level] || []).filter((f) => f[0] === at).map((f) => words.kinds[f[1]].title)
    if (item.kind === "diode") {
      const at = module.diode + item.place.diode - 1
      const on = view.now.diodes.on.indexOf(at)
      const state = on >= 0 ? fitted(words.conducts, { current: amount(view.now.diodes.current[on], "A") }) : words.blocks
      return [fitted(words.diode, { diode: item.place.diode }), state, ...faults("diode", at)].join(", ")
    }
    return [item.key.endsWith("minus") ? words.minus : words.plus, ...faults("module", module.index)].join(", ")
  }

  function moduleLabel(module) {
    const { now } = view
    const on = now.diodes.on.filter((at) => at >= module.diode && at < module.diode + module.diodes).length
    const parts = [fitted(words.module, { string: module.string, module: module.number }), amount(now.modules.power[module.index], "W")]
    if (on) parts.push(fitted(on === 1 ? words.one_diode : words.many_diodes, { count: on }))
    if (now.modules.eats.includes(module.index)) parts.push(words.said.some_eat)
    for (const [at, kind] of now.faults.module) if (at === module.index) parts.push(words.kinds[kind].title)
    return parts.join(", ")
  }

  function stringLabel(string) {
    const { now } = view
    const parts = [fitted(words.string, { string: string.number }), amount(now.strings.current[string.index], "A"), amount(now.strings.power[string.index], "W")]
    for (const [at, kind] of now.faults.string) if (at === string.index) parts.push(words.kinds[kind].title)
    return parts.join(", ")
  }

  function drawRings() {
    ring(rings.focus, focusBox(), 2)
    const target = hoverKey ? targetBox(hoverKey) : null
    ring(rings.hover, target, 1)
  }

  /** The ring stands where the keys are while they are in use, else around the part in focus. */
  function focusBox() {
    if (current && image.contains(root.getRootNode().activeElement)) return current.box
    const place = view.focus
    if (view.tray === "shadow" || !place.string || (view.level === "string" && !place.module)) return null
    return targetBox(placeKey(place))
  }

  function ring(rect, box, grow) {
    rect.style.display = box ? "" : "none"
    if (!box) return
    put(rect, "x", (box.left - grow).toFixed(1))
    put(rect, "y", (box.top - grow).toFixed(1))
    put(rect, "width", (box.width + 2 * grow).toFixed(1))
    put(rect, "height", (box.height + 2 * grow).toFixed(1))
  }

  /** The box on the screen of a place given by its key. */
  function targetBox(key) {
    const item = rows.flat().find((one) => one.key === key)
    if (item) return item.box
    const [string, module, inner] = key.split("#")[0].split("/")
    const found = moduleAt(view.plan, { string: Number(string), module: Number(module) })
    if (!found) return null
    if (!inner) return screenBox(found)
    if (/^\d+$/.test(inner)) return screenBox(cellBox(found, Number(inner) - 1))
    const part = found.shape.substrings[Number(inner.slice(1)) - 1]
    const boxes = []
    for (let local = part.first; local < part.first + part.count; local++) boxes.push(cellBox(found, local))
    return screenBox(boxOf(boxes))
  }

  function tellReadout() {
    write(readout, hoverKey ? hoverText(hoverKey) : view.now.readout)
  }

  function hoverText(key) {
    const place = placeOf(key)
    const module = moduleAt(view.plan, place)
    const name = key.split("#")[0]
    const told = (level, label) => [fitted(words.read[level], { place: name }), ...label.split(", ").slice(1)].join(" · ")
    if (place.cell && module) return told("cell", cellLabel(module.cell + place.cell - 1, place.cell))
    const item = rows.flat().find((one) => one.key === key)
    if (item && item.kind === "diode") return told("diode", item.label())
    if (module) return told("module", moduleLabel(module))
    return item ? told("string", item.label()) : name
  }

  /** Faults with no place of their own in the drawing are told in words. */
  function tellAlso() {
    const told = [...view.now.faults.other, ...view.now.faults.substring]
    also.hidden = !told.length
    write(also, told.map(([where, kind]) => `${words.kinds[kind].title} (${where})`).join(", "))
  }

  function drawCrumbs() {
    const { focus, level, plan } = view
    const module = moduleAt(plan, focus)
    const part = focus.substring || focus.diode || (focus.cell && module ? substringOf(module.shape, focus.cell - 1) : 0)
    const steps = [["array", words.levels.array]]
    if (focus.string || level !== "array") steps.push(["string", `${words.levels.string} ${focus.string || 1}`])
    if (focus.module || LEVELS.indexOf(level) > 1) steps.push(["module", `${words.levels.module} ${focus.module || 1}`])
    if (part || LEVELS.indexOf(level) > 2) steps.push(["substring", `${words.levels.substring} ${part || 1}`])
    if (focus.cell || level === "cell") steps.push(["cell", `${words.levels.cell} ${focus.cell || 1}`])
    const key = JSON.stringify([steps, level])
    if (crumbs.key === key) return
    const inside = crumbs.contains(root.getRootNode().activeElement)
    crumbs.key = key
    crumbs.replaceChildren()
    const list = html("ol", {}, crumbs)
    for (const [name, text] of steps) {
      const item = html("li", {}, list)
      const button = html("button", { type: "button", class: "crumb", "data-level": name, "aria-current": name === level ? "location" : null, text }, item)
      button.addEventListener("click", () => show(view.focus, name))
      if (inside && name === level) button.focus()
    }
  }

  function drawGround() {
    const { box } = view.plan
    const margin = 900
    layers.ground.replaceChildren()
    const [x, y, w, h] = [box.left - margin, box.top - margin * 0.8, box.width + 2 * margin, box.height + 1.6 * margin]
    svg("rect", { class: "deck", x, y, width: w, height: h, rx: 30 }, layers.ground)
    svg("rect", { class: "seams", x, y, width: w, height: h, rx: 30 }, layers.ground)
    svg("path", { class: "ridge", d: `M${x} ${y + 60}H${x + w}M${x} ${y + 110}H${x + w}` }, layers.ground)
    svg("path", { class: "gutter-line", d: `M${x} ${y + h - 70}H${x + w}` }, layers.ground)
  }

  function drawPatterns(defs) {
    const pattern = (id, size, draw, angle = 0) => {
      const one = svg("pattern", { id, width: size, height: size, patternUnits: "userSpaceOnUse", patternTransform: `rotate(${angle})` }, defs)
      draw(one)
    }
    for (const [tail, name] of [["", ""], ["-dark", " dark"]]) {
      pattern(`hatch${tail}`, 34, (p) => svg("rect", { class: `hatch-line${name}`, width: 11, height: 34 }, p), 45)
      pattern(`veil${tail}`, 30, (p) => {
        svg("circle", { class: `veil-dot${name}`, cx: 7.5, cy: 7.5, r: 4.6 }, p)
        svg("circle", { class: `veil-dot${name}`, cx: 22.5, cy: 22.5, r: 4.6 }, p)
      })
    }
    pattern("seams", 500, (p) => svg("rect", { class: "seam", width: 14, height: 500 }, p))
  }

  function wakeFlow() {
    clearTimeout(moving)
    if (calm.matches) return
    root.classList.remove("moving") // nothing moves while somebody paints or drags
    moving = setTimeout(() => {
      root.classList.add("moving")
      moving = setTimeout(() => root.classList.remove("moving"), FLOW_MS)
    }, REST_MS)
  }

  function resized() {
    const width = stage.clientWidth
    const height = stage.clientHeight
    if (!width || !height || (width === view.size.width && height === view.size.height)) return
    view.size = { width, height }
    view.resizing = true
    image.setAttribute("viewBox", `0 0 ${width} ${height}`)
    draw()
  }

  // The pointer

  function roofPoint(event) {
    const box = image.getBoundingClientRect()
    const x = (event.clientX - box.left) * (view.size.width / box.width)
    const y = (event.clientY - box.top) * (view.size.height / box.height)
    return { x: (x - view.camera.x) / view.camera.scale, y: (y - view.camera.y) / view.camera.scale, px: x, py: y }
  }

  /** The key of what lies under the pointer: a diode, a terminal, a string's head, a cell or a module. */
  function keyUnder(point) {
    for (const item of rows.flat()) {
      if (item.kind !== "diode" && item.kind !== "terminal" && item.kind !== "string") continue
      const { left, top, width, height } = item.box
      if (point.px >= left && point.px <= left + width && point.py >= top && point.py <= top + height) return item.key
    }
    const module = moduleUnder(view.plan, point)
    if (!module) return ""
    if (!tiles.groups[module.index].cells) return `${module.string}/${module.number}`
    const cell = cellUnder(view.plan, point)
    return cell < 0 ? "" : cellKey(cell)
  }

  function cellKey(cell) {
    const module = moduleOfCell(view.plan, cell)
    return `${module.string}/${module.number}/${cell - module.cell + 1}`
  }

  function placeOf(key) {
    const [string, module, inner] = key.split("#")[0].split("/")
    const place = { string: Number(string) || undefined, module: Number(module) || undefined }
    if (inner) place[{ d: "diode", s: "substring" }[inner[0]] ?? "cell"] = Number(inner.replace(/\D/, ""))
    return place
  }

  /** Whether a key lies in the part that is shown; what is faded is looked at, never changed. */
  function within(key) {
    const place = placeOf(key)
    if (view.level === "array") return true
    if (view.level === "string") return place.string === (view.focus.string || 1)
    if (place.string !== active.module.string || place.module !== active.module.number) return false
    if (view.level !== "substring" || !place.cell) return true
    const part = activeSubstring()
    return place.cell > part.first && place.cell <= part.first + part.count
  }

  /** What the tool would hit at a key: the part of the level its fault belongs to, or "" when it does not fit. */
  function aim(key) {
    if (!key || view.tray === "look" || view.tray === "shadow") return key
    const place = placeOf(key)
    const scope = view.tray === "break" && !view.condition.startsWith("shade") ? words.kinds[view.condition.split(":")[0]].scope : ""
    if (!scope) return view.tray === "mend" ? mendable(key) : place.diode || key.includes("#") ? "" : key
    if (scope === "string") return `${place.string}`
    if (scope === "module") return place.module ? `${place.string}/${place.module}` : ""
    if (scope === "cell") return place.cell ? key : ""
    if (place.diode) return key
    if (!place.cell) return ""
    const { shape } = moduleAt(view.plan, place)
    const number = substringOf(shape, place.cell - 1)
    return shape.substrings[number - 1].diode ? `${place.string}/${place.module}/d${number}` : ""
  }

  /** The smallest broken or shaded part at a key, else the key itself. */
  function mendable(key) {
    const place = placeOf(key)
    const { faults } = view.now
    const has = (level, at) => faults[level].some((f) => f[0] === at)
    const module = moduleAt(view.plan, place)
    if (module && place.cell) {
      const cell = module.cell + place.cell - 1
      if (painted.has(cell) || has("cell", cell)) return key
      const number = substringOf(module.shape, place.cell - 1)
      if (has("diode", module.diode + number - 1)) return `${place.string}/${place.module}/d${number}`
    }
    if (place.diode) return key
    if (module && has("module", module.index)) return `${place.string}/${place.module}`
    if (place.string && has("string", place.string - 1)) return `${place.string}`
    return key.split("#")[0]
  }

  function hover(key) {
    const wantedKey = key ? aim(key) || "" : ""
    if (wantedKey === hoverKey) return
    hoverKey = wantedKey
    put(root, "data-miss", key && !wantedKey ? "true" : null)
    if (view.arrived) {
      drawRings()
      tellReadout()
    }
  }

  function pressed(event) {
    if (event.button > 0 || !view.arrived) return
    const point = roofPoint(event)
    if (view.tray === "shadow") {
      pressShadow(event, point)
      return
    }
    const key = keyUnder(point)
    if (!key) return
    stroke = { id: ++strokes, pointer: event.pointerId, last: point, start: point, key, touch: event.pointerType === "touch", moved: false, done: new Set() }
    if (view.tray === "look" || !within(key)) {
      stroke.kind = "look"
      return
    }
    const target = aim(key)
    const cell = placeOf(key).cell ? indexOf(key) : -1
    const shading = view.condition.startsWith("shade")
    if (cell >= 0 && (view.tray === "shade" || (view.tray === "break" && shading) || view.tray === "mend") && (view.tray !== "mend" || target === key)) {
      const share = shading ? Number(view.condition.split(":")[1]) : 1
      const again = view.tray !== "mend" && painted.get(cell) === share
      stroke.kind = view.tray === "mend" ? "mend" : "paint"
      stroke.to = again ? 1 : share
      event.preventDefault()
      try {
        image.setPointerCapture(event.pointerId)
      } catch {
        // The pointer may be gone already, as after a quick tap.
      }
      look(key)
      brush([cell])
      current?.element?.focus({ preventScroll: true })
      return
    }
    stroke.kind = "tap"
    stroke.target = target
  }

  function indexOf(key) {
    const place = placeOf(key)
    const module = moduleAt(view.plan, place)
    return module && place.cell ? module.cell + place.cell - 1 : -1
  }

  function moved(event) {
    if (!view.arrived) return
    if (shadowEdit?.held) {
      dragShadow(event)
      return
    }
    const point = roofPoint(event)
    if (!stroke) {
      if (event.pointerType !== "touch") hover(view.tray === "shadow" ? null : keyUnder(point))
      return
    }
    if (Math.hypot(point.px - stroke.start.px, point.py - stroke.start.py) > 4) stroke.moved = true
    if (stroke.kind !== "paint" && stroke.kind !== "mend") return
    const samples = event.getCoalescedEvents?.() ?? []
    const met = []
    for (const sample of samples.length ? samples : [event]) {
      const next = roofPoint(sample)
      met.push(...cellsAlong(view.plan, stroke.last, next))
      stroke.last = next
    }
    brush(met.filter((cell) => within(cellKey(cell))))
  }

  /** Shade or mend cells: at once in the drawing, then on the page. */
  function brush(cells) {
    const fresh = cells.filter((cell) => !stroke.done.has(cell))
    if (!fresh.length) return
    for (const cell of fresh) {
      stroke.done.add(cell)
      if (!view.now.locked) {
        pending.set(cell, stroke.to)
        painted.set(cell, stroke.to)
      }
    }
    if (stroke.kind === "mend") say({ do: "mend", at: fresh, stroke: stroke.id })
    else say({ do: "paint", at: fresh, to: stroke.to, stroke: stroke.id })
    colour()
  }

  function lifted(event) {
    if (shadowEdit?.held) {
      shadowEdit.held = false
      say({ do: "lift" })
      return
    }
    if (!stroke || (event.pointerId !== undefined && event.pointerId !== stroke.pointer)) return
    const one = stroke
    stroke = null
    if (one.kind === "paint" || one.kind === "mend") {
      say({ do: "lift" })
      if (!gate.busy) pending.clear()
      return
    }
    if (event.type !== "pointerup" || one.moved) return
    look(one.key)
    if (one.kind === "tap") act(one.key, one.target)
    current?.element?.focus({ preventScroll: true })
  }

  /** Apply the tool to what was pointed at; when it does not fit, offer the faults that do. */
  function act(key, target) {
    const place = placeOf(key)
    if (view.tray === "mend") {
      say({ do: "mend", place: target })
      return
    }
    if (target) {
      setHint("")
      say({ do: "apply", place: target })
      return
    }
    if (view.tray === "break") {
      const scope = place.diode ? "diode" : key.includes("#") ? "module" : place.cell ? "cell" : place.module ? "module" : "string"
      if (scope !== view.scope && scope !== "string" && !(scope === "module" && view.scope !== "module" && !key.includes("#"))) {
        chooseScope(scope)
        setHint(words.choose_fault)
      } else setHint(words.go_nearer)
    } else setHint(words.cannot_shade)
  }

  function setHint(hint) {
    if (view.hint === hint) return
    view.hint = hint
    updatePalette(palette, view)
  }

  /** Turn to what was pointed at, without going nearer. */
  function look(key) {
    const place = placeOf(key)
    let level = view.level
    if (!within(key) && LEVELS.indexOf(level) > 2 && !place.cell) level = "module"
    if (level === "cell" && !place.cell) level = "module"
    show(place, level)
  }

  function doubled(event) {
    if (view.tray !== "look") return
    const key = keyUnder(roofPoint(event))
    if (key) nearer(placeOf(key), view.level === "array" || view.level === "string" ? "module" : "")
  }

  // Keys

  function focused(event) {
    const item = rows.flat().find((one) => one.element === event.target || one.element.contains(event.target))
    if (item) {
      current = item
      drawRings()
    }
  }

  function keyDown(event) {
    if (view.tray === "shadow" && shadowKey(event)) {
      event.preventDefault()
      event.stopPropagation()
      return
    }
    if (!current || event.metaKey || event.altKey || (event.ctrlKey && event.key !== "Home" && event.key !== "End")) return
    const moves = ["ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown", "Home", "End"]
    let used = true
    if (moves.includes(event.key)) {
      const next = stepFrom(rows, current, event)
      if (next) goTo(next)
    } else if (event.key === "PageDown" || event.key === "PageUp") turnPage(event.key === "PageDown" ? 1 : -1)
    else if (event.key === "Enter") nearer(current.place)
    else if (event.key === "Escape" || event.key === "Backspace") used = farther()
    else if (event.key === " ") spaceBar()
    else used = false
    if (used) {
      event.preventDefault()
      event.stopPropagation()
    }
  }

  /** A press that came without a pointer, as screen readers make them. */
  function clicked(event) {
    if (event.detail !== 0) return
    const item = rows.flat().find((one) => one.element === event.target || one.element.contains(event.target))
    if (!item) return
    goTo(item)
    spaceBar()
  }

  function goTo(item) {
    current = item
    show(item.place, view.level)
    rows.flat().find((one) => one.key === item.key)?.element.focus({ preventScroll: true })
  }

  function spaceBar() {
    if (view.tray === "look") {
      nearer(current.place)
      return
    }
    if (!view.arrived) return
    const key = current.key
    const target = aim(key)
    const shading = view.tray === "shade" || (view.tray === "break" && view.condition.startsWith("shade"))
    const cell = shading && current.place.cell ? indexOf(key) : -1
    if (cell >= 0) {
      const share = Number(view.condition.split(":")[1])
      stroke = { id: ++strokes, kind: "paint", to: painted.get(cell) === share ? 1 : share, done: new Set() }
      brush([cell])
      stroke = null
      say({ do: "lift" })
    } else act(key, target)
  }

  /** The next module, or string, over. */
  function turnPage(way) {
    const { plan, focus, level } = view
    if (level === "array" || level === "string") {
      const string = clamp((focus.string || 1) + way, 1, plan.strings.length)
      const module = focus.module ? Math.min(focus.module, plan.strings[string - 1].modules.length) : undefined
      show({ string, module }, level)
    } else {
      const next = plan.modules[active.module.index + way]
      if (!next) return
      const place = { string: next.string, module: next.number }
      if (focus.cell) place.cell = Math.min(focus.cell, next.cells)
      else if (focus.diode || focus.substring) place.substring = Math.min(focus.diode || focus.substring, next.diodes)
      show(place, level)
    }
    refocus()
  }

  /** One level nearer to a place. */
  function nearer(place, least = "") {
    const at = LEVELS.indexOf(view.level)
    let level = LEVELS[Math.min(at + 1, LEVELS.length - 1)]
    if (least && LEVELS.indexOf(level) < LEVELS.indexOf(least)) level = least
    const focus = { ...place, string: place.string || 1 }
    if (LEVELS.indexOf(level) > 1 && !focus.module) focus.module = 1
    if (level === "cell" && !focus.cell) {
      const module = moduleAt(view.plan, focus)
      focus.cell = module.shape.substrings[(focus.diode || focus.substring || 1) - 1].first + 1
      delete focus.diode
      delete focus.substring
    }
    show(focus, level)
    refocus()
  }

  function farther() {
    const at = LEVELS.indexOf(view.level)
    if (at === 0) return false
    show(view.focus, LEVELS[at - 1])
    refocus()
    return true
  }

  /** Keep the keys where the eye is, also when the view is still on its way. */
  function refocus() {
    const wait = () => {
      if (!view.arrived) requestAnimationFrame(wait)
      else current?.element?.focus({ preventScroll: true })
    }
    wait()
  }

  // Choosing tools

  function chooseTray(name) {
    view.tray = name
    view.hint = ""
    hoverKey = ""
    if (name === "shade" && !view.condition.startsWith("shade")) choose({ condition: "shade:0.2" })
    if (name === "mend" && view.condition !== "mend") choose({ condition: "mend" })
    if (name === "break" && !inScope(view.condition, view.scope)) chooseScope(view.focus.diode && view.level !== "array" ? "diode" : view.scope)
    if (name === "shadow" && view.chosenShadow < 0) view.chosenShadow = view.now.shadows.length - 1
    view.tray = name
    draw()
  }

  function inScope(condition, scope) {
    const group = words.groups.find((one) => one.scope === scope)
    return group.sets.some((set) => set.kinds.some(([kind]) => kind === condition || kind === condition.split(":")[0]))
  }

  function chooseScope(scope) {
    view.scope = scope
    view.hint = ""
    const group = words.groups.find((one) => one.scope === scope)
    view.tray = "break"
    if (!inScope(view.condition, scope)) choose({ condition: group.first })
    view.tray = "break"
    view.scope = scope
    draw()
  }

  function chooseCondition(condition) {
    const tray = view.tray
    view.hint = ""
    choose({ condition })
    view.tray = tray
    draw()
  }

  // Shadows

  function addShadow(kind) {
    const centre = {
      x: (view.size.width / 2 - view.camera.x) / view.camera.scale / 1000,
      y: (view.size.height / 2 - view.camera.y) / view.camera.scale / 1000,
    }
    wanted.newShadow = view.now.shadows.length
    say({ do: "shadow-add", kind, x: Math.round(centre.x * 100) / 100, y: Math.round(centre.y * 100) / 100 })
  }

  function removeShadow() {
    if (view.chosenShadow < 0) return
    say({ do: "shadow-remove", index: view.chosenShadow })
    refocusSoon()
  }

  function refocusSoon() {
    current?.element?.focus({ preventScroll: true })
  }

  function shadowField(name, value) {
    editShadow(view.chosenShadow, { [name]: value }, ++strokes)
    shadowEdit.held = false
    say({ do: "lift" })
  }

  function editShadow(index, values, id) {
    shadowEdit = { ...(shadowEdit?.index === index ? shadowEdit : { held: false }), index, values: { ...(shadowEdit?.index === index ? shadowEdit.values : {}), ...values } }
    const rounded = Object.fromEntries(Object.entries(values).map(([key, value]) => [key, Math.round(value * 1e4) / 1e4]))
    if (!view.now.locked) {
      view.now.shadows[index] = { ...view.now.shadows[index], ...rounded }
      drawShadows(layers.shadows, view.plan, view.now.shadows, view.chosenShadow)
      drawHandles(layers.handles, view.now.shadows[index], view.plan, view.camera, words)
      updatePalette(palette, view)
    }
    say({ do: "shadow", index, stroke: id, ...rounded })
  }

  function pressShadow(event, point) {
    const handle = event.target.closest?.("[data-handle]")
    const body = event.target.closest?.("[data-shadow]")
    if (!handle && !body) {
      if (view.chosenShadow >= 0) {
        view.chosenShadow = -1
        draw()
      }
      return
    }
    event.preventDefault()
    if (body) view.chosenShadow = Number(body.dataset.shadow)
    const index = view.chosenShadow
    shadowEdit = { index, values: {}, held: true, name: handle?.dataset.handle ?? "body", start: point, from: { ...view.now.shadows[index] }, id: ++strokes }
    try {
      image.setPointerCapture(event.pointerId)
    } catch {
      // As above: the pointer may be gone.
    }
    draw()
    current?.element?.focus({ preventScroll: true })
  }

  function dragShadow(event) {
    const point = roofPoint(event)
    const { name, from, start, index, id } = shadowEdit
    let values
    if (name === "edge") values = { height: clamp(from.height - (point.y - start.y) / 1000, 0.01, 20) }
    else if (name === "body") {
      if (isBand(from)) return
      values = { x: from.x + (point.x - start.x) / 1000, y: from.y + (point.y - start.y) / 1000 }
    } else if (name === "turn") values = { angle: turned(from, point.x, point.y) }
    else {
      const { x, y, width, height } = stretched(from, name.split(" ").map(Number), point.x, point.y)
      values = { x, y, width, height }
    }
    const keep = shadowEdit
    editShadow(index, values, id)
    shadowEdit = { ...keep, values: { ...keep.values, ...values } }
  }

  function chooseShadow(index) {
    view.chosenShadow = index
    draw()
    tellShadow()
  }

  /** Say where the chosen shadow is. */
  function tellShadow() {
    const shadow = view.now.shadows[view.chosenShadow]
    if (!shadow) return
    const kind = words.shadows.find(([name]) => name === shadow.kind)?.[1] ?? shadow.kind
    const r = (v) => plain(Math.round(v * 100) / 100)
    const values = { kind, x: r(shadow.x), y: r(shadow.y), width: r(shadow.width), height: r(shadow.height), angle: Math.round(shadow.angle) }
    write(spoken, fitted(isBand(shadow) ? words.band_at : words.shadow_at, values))
  }

  function shadowKey(event) {
    const shadow = view.now.shadows[view.chosenShadow]
    if (event.key === "PageDown" || event.key === "PageUp") {
      const count = view.now.shadows.length
      if (!count) return false
      chooseShadow((view.chosenShadow + (event.key === "PageDown" ? 1 : -1) + count) % count)
      return true
    }
    if (!shadow) return false
    if (event.key === "Escape") {
      chooseShadow(-1)
      return true
    }
    if (event.key === "Delete" || event.key === "Backspace") {
      removeShadow()
      return true
    }
    const values = keyed(shadow, event)
    if (!values) return false
    editShadow(view.chosenShadow, values, -1)
    tellShadow()
    return true
  }

  // The address box

  function makeAddress(parent) {
    const form = html("form", { class: "address", novalidate: true }, parent)
    const input = html("input", {
      class: "input", type: "text", name: "place", autocomplete: "off", spellcheck: "false", placeholder: "2/5/14",
      "aria-label": words.address, title: words.address_hint,
    }, form)
    const go = html("button", { type: "submit", class: "button button--edge", text: words.go }, form)
    const wrong = html("p", { class: "wrong", id: "address-wrong", role: "alert", hidden: true }, form)
    form.addEventListener("submit", (event) => {
      event.preventDefault()
      say({ do: "go", text: input.value })
    })
    input.addEventListener("keydown", (event) => event.stopPropagation())
    input.addEventListener("input", () => tell(""))
    function tell(text) {
      wrong.hidden = !text
      write(wrong, text)
      put(input, "aria-invalid", text ? "true" : null)
      put(input, "aria-describedby", text ? "address-wrong" : null)
    }
    void go
    return { tell }
  }

  function close() {
    for (const [target, name, run] of listen) target.removeEventListener(name, run)
    sizing.disconnect()
    traveller.halt()
    clearTimeout(moving)
    gate.close()
    void outlinesOf
  }
}
