// The things one can go to by keys: what they are called, and the rings around them.

import { placeOf } from "./aim.js"
import { amount, fitted, placeKey, put, svg, write } from "./dom.js"
import { activeSubstring, screenBox } from "./framing.js"
import { mergeRail } from "./grid.js"
import { BYPASSED, EATS, SHADED, isFar } from "./levels.js"
import { boxOf, cellBox, moduleAt } from "./plan.js"
import { valueText } from "./values.js"

/** List what can be gone to, and keep the keys where they are while their place stays in focus. */
export function listItems(d) {
  if (isFar(d.level)) listFar(d)
  else listNear(d)
  const key = itemKeyOfFocus(d)
  const all = d.rows.flat()
  const at = placeKey(d.focus)
  d.current = all.find((item) => item.key === d.cursor && (d.cursorAt === at || placeKey(item.place) === at))
    ?? all.find((item) => item.key === key)
    ?? all.find((item) => item.key === `${d.focus.string}`)
    ?? all[0] ?? null
  for (const item of all) {
    put(item.element, "tabindex", item === d.current ? "0" : "-1")
    put(item.element, "aria-label", item.label())
  }
}

function itemKeyOfFocus(d) {
  if (isFar(d.level)) return placeKey({ string: d.focus.string, module: d.focus.module })
  if (d.focus.cell || d.focus.diode) return placeKey(d.focus)
  const part = activeSubstring(d)
  return placeKey({ string: d.active.module.string, module: d.active.module.number, cell: part.first + 1 })
}

function listFar(d) {
  const { plan } = d
  const chosen = d.level === "string" ? d.focus.string || 1 : 0
  const key = `${d.level} ${chosen} ${JSON.stringify(d.camera)}`
  if (d.layers.items.key === key) return
  d.layers.items.key = key
  d.layers.items.replaceChildren()
  const grid = svg("g", { role: "grid", "aria-label": chosen ? fitted(d.words.string_grid, { string: chosen }) : d.words.array_grid }, d.layers.items)
  d.rows = []
  for (const string of plan.strings) {
    if (chosen && string.number !== chosen) continue
    let row = null
    let at = -1
    for (const module of string.modules) {
      if (module.row !== at) {
        at = module.row
        const group = svg("g", { role: "row", "aria-label": fitted(d.words.string_row, { string: string.number }) }, grid)
        row = { group, list: [] }
        d.rows.push(row.list)
        if (module === string.modules[0]) addFar(d, row, `${string.number}`, { string: string.number }, "string", () => stringLabel(d, string))
      }
      addFar(d, row, `${string.number}/${module.number}`, { string: string.number, module: module.number }, "module", () => moduleLabel(d, module))
    }
  }
}

function addFar(d, row, key, place, kind, label) {
  const box = d.boxes.get(key)
  const element = svg("rect", { class: "item", role: "gridcell", x: box.left, y: box.top, width: box.width, height: box.height, "data-key": key }, row.group)
  row.list.push({ key, place, element, kind, box, label })
}

function listNear(d) {
  const { module, tile } = d.active
  const part = d.level === "substring" ? activeSubstring(d) : null
  d.layers.items.replaceChildren()
  d.layers.items.key = ""
  const place = { string: module.string, module: module.number }
  if (tile.named !== part) unname(tile)    // not at every change: the keys are on one of these
  tile.named = part
  put(tile.box, "role", "grid")
  put(tile.box, "aria-label", fitted(d.words.module_grid, place))
  const cells = module.shape.rows.map((locals, k) => {
    const listed = locals.filter((local) => !part || (local >= part.first && local < part.first + part.count))
    if (listed.length) {
      put(tile.rows[k], "role", "row")
      put(tile.rows[k], "aria-label", fitted(d.words.row, { row: k + 1 }))
    }
    return listed.map((local) => {
      const element = tile.cells[local]
      put(element, "role", "gridcell")
      return {
        key: placeKey({ ...place, cell: local + 1 }), place: { ...place, cell: local + 1 }, element, kind: "cell",
        box: screenBox(d, cellBox(module, local)), label: () => cellLabel(d, module.cell + local, local + 1),
      }
    })
  }).filter((row) => row.length)
  const rail = d.active.rail.items.filter((item) => !part || item.kind !== "diode" || item.place.diode === module.shape.substrings.indexOf(part) + 1)
  for (const item of rail) item.label = () => railLabel(d, item)
  d.rows = mergeRail(cells, rail, d.active.rail.rail)
}

/** A module that is not gone through by keys has no grid, rows or cells for a screen reader. */
export function unname(tile) {
  const { box, rows, cells } = tile
  delete tile.named
  for (const one of [box, ...(rows ?? []), ...(cells ?? [])]) {
    for (const name of ["role", "tabindex", "aria-label", "aria-selected"]) one?.removeAttribute(name)
  }
}

function cellLabel(d, cell, number) {
  const { scale } = d.now
  const parts = [fitted(d.words.cell, { cell: number }), `${valueText(d.quantity, d.value(cell))} ${scale.unit}`]
  const flags = d.flags(cell)
  if (d.pending.has(cell) ? d.pending.get(cell) < 1 : flags & SHADED) parts.push(d.words.said.shaded)
  if (flags & EATS) parts.push(d.words.said.eats)
  if (flags & BYPASSED) parts.push(d.words.said.bypassed)
  for (const [at, kind] of d.now.faults.cell) if (at === cell) parts.push(d.words.kinds[kind].title)
  return parts.join(", ")
}

function railLabel(d, item) {
  if (item.kind === "diode") return diodeLabel(d, item.place.diode)
  const { module } = d.active
  const faults = d.now.faults.module.filter(([at]) => at === module.index).map(([, kind]) => d.words.kinds[kind].title)
  return [item.key.endsWith("minus") ? d.words.minus : d.words.plus, ...faults].join(", ")
}

/** A bypass diode: what is wrong with it, what it does, and its voltage. */
function diodeLabel(d, number) {
  const { module } = d.active
  const { diodes, detail, faults } = d.now
  const diode = module.diode + number - 1
  const kinds = faults.diode.filter(([at]) => at === diode).map(([, kind]) => kind)
  const said = [fitted(d.words.diode, { diode: number }), ...kinds.map((kind) => d.words.broken_diodes[kind])]
  const on = diodes.on.indexOf(diode)
  const back = diodes.back.indexOf(diode)
  if (on >= 0) said.push(fitted(d.words.conducts, { current: amount(diodes.current[on], "A") }))
  else if (back >= 0) said.push(fitted(d.words.runs_back, { current: amount(diodes.back_current[back], "A") }))
  else if (!kinds.includes("diode-open")) said.push(d.words.blocks) // one that is open can do neither
  const known = detail?.module === module.index ? detail.diodes.indexOf(number - 1) : -1
  if (known >= 0) said.push(amount(detail.diode_voltage[known], "V"))
  return said.join(", ")
}

function moduleLabel(d, module) {
  const { now } = d
  const on = now.diodes.on.filter((at) => at >= module.diode && at < module.diode + module.diodes).length
  const parts = [fitted(d.words.module, { string: module.string, module: module.number }), amount(now.modules.power[module.index], "W")]
  if (on) parts.push(fitted(on === 1 ? d.words.one_diode : d.words.many_diodes, { count: on }))
  if (now.modules.eats.includes(module.index)) parts.push(d.words.said.some_eat)
  for (const [at, kind] of now.faults.module) if (at === module.index) parts.push(d.words.kinds[kind].title)
  return parts.join(", ")
}

function stringLabel(d, string) {
  const { now } = d
  const parts = [fitted(d.words.string, { string: string.number }), amount(now.strings.current[string.index], "A"), amount(now.strings.power[string.index], "W")]
  for (const [at, kind] of now.faults.string) if (at === string.index) parts.push(d.words.kinds[kind].title)
  return parts.join(", ")
}

export function drawRings(d) {
  ring(d, d.rings.focus, focusBox(d), 2)
  const target = d.hoverKey ? targetBox(d, d.hoverKey) : null
  ring(d, d.rings.hover, target, 1)
  for (const { key, element } of d.cables ?? []) element?.classList.toggle("aimed", key === d.hoverKey)
}

/** The ring stands where the keys are while they are in use, else around the part in focus. */
function focusBox(d) {
  if (d.current && d.image.contains(d.root.getRootNode().activeElement)) return d.current.box
  const place = d.focus
  if (d.tray === "shadow" || !place.string || (d.level === "string" && !place.module)) return null
  return targetBox(d, placeKey(place))
}

export function ring(d, rect, box, grow) {
  rect.style.display = box ? "" : "none"
  if (!box) return
  put(rect, "x", (box.left - grow).toFixed(1))
  put(rect, "y", (box.top - grow).toFixed(1))
  put(rect, "width", (box.width + 2 * grow).toFixed(1))
  put(rect, "height", (box.height + 2 * grow).toFixed(1))
}

/** The box on the screen of a place given by its key. */
function targetBox(d, key) {
  const item = d.rows.flat().find((one) => one.key === key)
  if (item) return item.box
  const [string, module, inner] = key.split("#")[0].split("/")
  const found = moduleAt(d.plan, { string: Number(string), module: Number(module) })
  if (!found) return null
  if (!inner) return screenBox(d, found)
  if (/^\d+$/.test(inner)) return screenBox(d, cellBox(found, Number(inner) - 1))
  const part = found.shape.substrings[Number(inner.slice(1)) - 1]
  const boxes = []
  for (let local = part.first; local < part.first + part.count; local++) boxes.push(cellBox(found, local))
  return screenBox(d, boxOf(boxes))
}

export function tellReadout(d) {
  const elsewhere = d.hoverKey && d.hoverKey !== placeKey(d.focus) // the part in focus has all its figures
  write(d.readout, elsewhere ? hoverText(d, d.hoverKey) : d.now.readout)
}

function hoverText(d, key) {
  const place = placeOf(d, key)
  const module = moduleAt(d.plan, place)
  const name = key.split("#")[0]
  const told = (level, label) => [fitted(d.words.read[level], { place: name }), ...label.split(", ").slice(1)].join(" · ")
  if (place.cell && module) return told("cell", cellLabel(d, module.cell + place.cell - 1, place.cell))
  const item = d.rows.flat().find((one) => one.key === key)
  if (item && item.kind === "diode") return told("diode", item.label())
  if (module) return told("module", moduleLabel(d, module))
  const string = d.plan.strings[(place.string || 0) - 1]
  return string ? told("string", stringLabel(d, string)) : name
}
