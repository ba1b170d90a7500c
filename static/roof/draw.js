// @ts-check
// The drawing brought up to date: what belongs to the roof, and what keeps its size on the screen.

import { withKeys } from "../shared/elements.js"
import { framing } from "./camera.js"
import { drawCircuit } from "./circuit.js"
import { drawDayShadows } from "./day_shadows.js"
import { clamp, keysTo, put, svg } from "./dom.js"
import { activeSubstring, frame, miniRoom, screenBox } from "./framing.js"
import { drawGround } from "./ground.js"
import { listItems, unname } from "./items.js"
import { drawRail } from "./junction.js"
import { updateLegend } from "./legend.js"
import { EATS, SHADED, isFar } from "./levels.js"
import { updatePalette } from "./palette.js"
import { drawCrumbs, tellAlso } from "./path_bar.js"
import { cellBox, moduleAt } from "./plan.js"
import { drawRibbons, updateFlows } from "./ribbons.js"
import { drawMeasured } from "./measured.js"
import { drawRings } from "./rings.js"
import { drawRoutes } from "./routes.js"
import { drawSide } from "./side.js"
import { drawHandles, drawShadows } from "./shadows.js"
import { colourCells, colourTile, dropCells, fillCells, makeTiles, markCell } from "./tiles.js"
import { tellReadout } from "./told.js"
import { drawValues, updateValues } from "./values.js"
import { drawDraft } from "./wire.js"
import { drawWiring } from "./wiring.js"

const TRAVEL_MS = 420
const FLOW_MS = 4500 // moving lines come to rest by themselves (WCAG 2.2.2 asks for at most 5 s)
const REST_MS = 350

/** Bring everything up to date.
 * @param {Roof.Store} d */
export function draw(d) {
  if (!d.now || !d.size.width) return
  const keys = withKeys(d.root)
  const held = d.image.contains(keys) && d.image !== keys
  chooseActive(d)
  put(d.root, "data-level", d.level)
  put(d.root, "data-tray", d.tray)
  put(d.root, "data-theme", d.theme)
  colour(d)
  drawShadows(d.layers.shadows, d.plan, d.now.shadows, d.tray === "shadow" ? d.chosenShadow : -1)
  drawDayShadows(d.layers.shadows, d.now.day)
  drawCrumbs(d)
  tellAlso(d)
  updatePalette(d.palette, d)
  updateLegend(d.legend, d)
  const target = framing(...frame(d))
  if (!d.arrived || !d.target || apart(d.target, target)) {
    const jump = !d.arrived || d.resizing || d.calm.matches
    d.target = target
    d.arrived = false
    d.layers.over.classList.add("away")
    d.traveller.go(target, jump ? 0 : TRAVEL_MS)
  } else overlay(d)
  if (held) (d.arrived ? d.current?.element : d.image)?.focus({ preventScroll: true })
}

/** Whether two cameras look elsewhere.
 * @type {(one: Roof.Camera, other: Roof.Camera) => boolean} */
const apart = (one, other) => [one.scale - other.scale, one.x - other.x, one.y - other.y].some((way) => Math.abs(way) > 1e-6)

/** The module seen from near gets ribbons and texts; in a large array only near modules have cells.
 * @param {Roof.Store} d */
function chooseActive(d) {
  const near = !isFar(d.level)
  const module = near ? moduleAt(d.plan, d.focus) ?? d.plan.modules[d.now.detail?.module ?? 0] : null
  if (!d.tiles.whole) {
    for (const one of d.tiles.groups) {
      if (d.known(one.module)) fillCells(one)
      else dropCells(one)
    }
  }
  if (d.active && d.active.module !== module) {
    d.active.ribbons.group.remove()
    d.active.tile.group.classList.remove("active")
    unname(d.active.tile)
    for (const cell of d.active.tile.cells ?? []) cell.classList.remove("aside")
    d.active = null
  }
  if (module && !d.active) {
    const tile = d.tiles.groups[module.index]
    fillCells(tile)
    tile.group.classList.add("active")
    d.layers.modules.appendChild(tile.group)
    d.active = { module, tile, ribbons: drawRibbons(tile), texts: null }
    d.railKey = ""
  }
  const chosen = d.focus.string || 1
  for (const one of d.tiles.groups) {
    const away = near ? one.module !== module : d.level === "string" && one.module.string !== chosen
    one.group.classList.toggle("faded", away)
  }
  if (d.active) {
    const part = d.level === "substring" ? activeSubstring(d) : null
    d.active.tile.cells?.forEach((cell, local) => cell.classList.toggle("aside", !!part && (local < part.first || local >= part.first + part.count)))
  }
}

/** Colours and marks of all cells.
 * @param {Roof.Store} d */
export function colour(d) {
  const { now, theme } = d
  const eating = new Set(d.tiles.whole ? [] : now.modules.eats)
  /** @type {Roof.Store["broken"]} */
  const faults = (d.broken = new Map())
  for (const [cell, kind] of now.faults.cell) faults.set(cell, [...(faults.get(cell) ?? []), kind])
  for (const one of d.tiles.groups) {
    const { cells, module } = one
    if (!cells) {
      colourTile(one, now.scale, theme, shownMean(d, module), eating.has(module.index))
      continue
    }
    colourCells(one, now.scale, theme, (cell) => shownValue(d, cell))
    for (let local = 0; local < cells.length; local++) {
      const cell = module.cell + local
      const flags = d.flags(cell)
      const own = faults.get(cell)
      const through = d.pending.get(cell)
      if (!flags && !own && through === undefined && !one.marks.size) continue
      const marks = []
      if (through === undefined ? flags & SHADED : through < 1) marks.push("shaded")
      if (flags & EATS) marks.push("eats")
      if (own) marks.push(...own)
      if (marks.length && one.darkInk?.[one.colour?.[local] ?? 0]) marks.push("on-light")
      markCell(one, local, marks)
    }
  }
}

/** The value to colour by: what the solver found, or what paint not yet confirmed will make of the light.
 * @type {(d: Roof.Store, cell: number) => number} */
function shownValue(d, cell) {
  const value = d.value(cell)
  const through = d.pending.get(cell)
  if (through === undefined || d.quantity !== "irradiance") return value
  const before = d.painted.get(cell) ?? 1
  return before > 0 ? (value / before) * through : d.now.scale.high * through
}

/** The same for a module drawn as one tile.
 * @type {(d: Roof.Store, module: Roof.Module) => number} */
function shownMean(d, module) {
  const through = d.pending.get(module.cell)
  const unknown = through === undefined || d.quantity !== "irradiance"
  return unknown ? d.now.modules.value[module.index] : d.now.scale.high * through
}

/** All that keeps its size on the screen: wires, labels, junction box, values, rings.
 * @type {(d: Roof.Store, fresh?: boolean) => void} */
function overlay(d, fresh = false) {
  if (!d.arrived) return
  const { level, now } = d
  const far = isFar(level)
  const signs = JSON.stringify([
    now.strings, now.trackers, now.faults, now.diodes, level, level === "string" && [now.modules, d.focus.string],
    d.tray === "wire" && [d.wire.tool, d.wire.string, now.earlier],
  ])
  if (far && (fresh || d.wiringKey !== signs)) {
    d.wiringKey = signs
    Object.assign(d, d.plan.mounted ? drawRoutes(d.layers.wiring, d) : drawWiring(d.layers.wiring, d))
  }
  if (!far) d.layers.wiring.replaceChildren()
  if (d.active) nearby(d, d.active, fresh)
  else {
    d.layers.rail.replaceChildren()
    d.layers.values.replaceChildren()
  }
  drawCard(d)
  drawMeasured(d.layers.measured, d)
  listItems(d)
  drawRings(d)
  drawHandles(d.layers.handles, d.tray === "shadow" ? now.shadows[d.chosenShadow] : null, d.plan, d.camera, d.words)
  if (d.tray === "wire") drawDraft(d)
  drawSide(d.layers.side, d)
  tellReadout(d)
}

/** What is drawn of the module seen from near alone; at the level of the cell a card stands in its place.
 * @type {(d: Roof.Store, active: Roof.Active, fresh: boolean) => void} */
function nearby(d, active, fresh) {
  const { level, now, layers } = d
  const { module } = active
  const card = level === "cell"
  updateFlows(active.ribbons.flows, d, module)
  const signs = JSON.stringify([now.diodes, now.faults.diode, now.faults.module, now.detail?.diode_current, now.detail?.current[0], level])
  if (fresh || d.railKey !== signs) {
    d.railKey = signs
    if (card) layers.rail.replaceChildren()
    active.rail = card ? { items: [], rail: { upright: false } } : drawRail(layers.rail, d, module)
  }
  d.cables = active.rail?.leads ?? []
  if (fresh) {
    if (card) layers.values.replaceChildren()
    active.texts = card ? null : drawValues(layers.values, d, module, level === "substring" ? activeSubstring(d) : null)
  }
  updateValues(active.texts, d, module)
}

/** The circuit of the cell in focus, and the lens that leads to it.
 * @param {Roof.Store} d */
function drawCard(d) {
  const { cell } = d.now
  if (d.level !== "cell" || !cell || !d.active) {
    d.layers.circuit.replaceChildren()
    put(d.rings.lens, "d", "")
    return
  }
  const { width, height } = d.size
  const mini = miniRoom(d)
  const room = width < 460
    ? { left: 10, top: mini.top + mini.height + 14, width: width - 20, height: height - mini.top - mini.height - 22 }
    : { left: mini.left + mini.width + 22, top: 12, width: width - mini.left - mini.width - 34, height: height - 24 }
  d.layers.circuit.replaceChildren()
  svg("rect", { class: "card", x: room.left, y: room.top, width: room.width, height: room.height, rx: 8 }, d.layers.circuit)
  const inner = { left: room.left + 14, top: room.top + 10, width: room.width - 28, height: room.height - 20 }
  drawCircuit(svg("g", {}, d.layers.circuit), cell, d.words.circuit, inner)
  const { module } = d.active
  const box = screenBox(d, cellBox(module, clamp(d.focus.cell || 1, 1, module.cells) - 1))
  put(d.rings.lens, "d", width < 460
    ? `M${box.left} ${box.top + box.height}L${room.left} ${room.top}M${box.left + box.width} ${box.top + box.height}L${room.left + room.width} ${room.top}`
    : `M${box.left + box.width} ${box.top}L${room.left} ${room.top}M${box.left + box.width} ${box.top + box.height}L${room.left} ${room.top + room.height}`)
}

/** Put the roof where the camera sees it.
 * @type {(d: Roof.Store, camera: Roof.Camera) => void} */
export function applyCamera(d, camera) {
  d.camera = camera
  d.world.setAttribute("transform", `translate(${camera.x.toFixed(2)} ${camera.y.toFixed(2)}) scale(${camera.scale.toFixed(5)})`)
  d.world.style.setProperty("--px", (1 / camera.scale).toFixed(3))
}

/** The camera has arrived.
 * @param {Roof.Store} d */
export function settle(d) {
  d.arrived = true
  d.resizing = false
  d.layers.over.classList.remove("away")
  d.wiringKey = d.railKey = ""
  overlay(d, true)
  if (withKeys(d.root) === d.image) keysTo(d.current?.element)
}

/** Another roof: make its elements anew.
 * @param {Roof.Store} d */
export function layOut(d) {
  if (d.image.contains(withKeys(d.root))) d.image.focus({ preventScroll: true }) // what has the keys goes
  d.layers.modules.replaceChildren()
  d.layers.shadows.replaceChildren()
  d.layers.shadows.key = null
  drawGround(d)
  d.tiles = makeTiles(d.layers.modules, d.plan, d.plan.scene.whole)
  d.active = null
  d.wiringKey = d.railKey = ""
  d.traveller.halt()
  d.arrived = false
}

/** Let the current move for a while.
 * @param {Roof.Store} d */
export function wakeFlow(d) {
  clearTimeout(d.moving)
  if (d.calm.matches) return
  d.root.classList.remove("moving") // nothing moves while somebody paints or drags
  d.moving = setTimeout(() => {
    d.root.classList.add("moving")
    d.moving = setTimeout(() => d.root.classList.remove("moving"), FLOW_MS)
  }, REST_MS)
}

/** The stage has another size.
 * @param {Roof.Store} d */
export function resized(d) {
  const width = d.stage.clientWidth
  const height = d.stage.clientHeight
  if (!width || !height || (width === d.size.width && height === d.size.height)) return
  d.size = { width, height }
  d.resizing = true
  d.image.setAttribute("viewBox", `0 0 ${width} ${height}`)
  draw(d)
}
