// @ts-check
// The things one can go to by keys: what they are, row by row, and what a screen reader hears of them.

import { fitted, placeKey, put, svg } from "./dom.js"
import { activeSubstring, screenBox, seen } from "./framing.js"
import { mergeRail } from "./grid.js"
import { isFar } from "./levels.js"
import { cellBox } from "./plan.js"
import { targetAt } from "./target.js"
import { cellLabel, moduleLabel, railLabel, spotLabel, stringLabel } from "./told.js"

/**
 * List what can be gone to, and keep the keys where they are while their place stays in focus.
 * @param {Roof.Store} d
 */
export function listItems(d) {
  if (d.tray === "wire" && d.plan.mounted) listSpots(d, d.plan.mounted)
  else if (isFar(d.level)) listFar(d)
  else listNear(d)
  const key = placeKey(placeOfKeys(d))
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

/**
 * Where the keys are when nobody has moved them.
 * @param {Roof.Store} d
 * @returns {Roof.Place}
 */
function placeOfKeys(d) {
  const { focus } = d
  if (isFar(d.level)) return { string: focus.string, module: focus.module }
  if (focus.cell || focus.diode) return focus
  const { module } = seen(d)
  return { string: module.string, module: module.number, cell: activeSubstring(d).first + 1 }
}

/** @param {Roof.Store} d */
function listFar(d) {
  const { items } = d.layers
  const chosen = d.level === "string" ? d.focus.string || 1 : 0
  const key = `${d.level} ${chosen} ${d.plan.scene.key} ${JSON.stringify(d.camera)}`
  if (items.key === key) return
  items.key = key
  items.replaceChildren()
  const grid = svg("g", { role: "grid", "aria-label": chosen ? fitted(d.words.string_grid, { string: chosen }) : d.words.array_grid }, items)
  d.rows = []
  if (d.plan.mounted) {
    listRows(d, grid, chosen)
    return
  }
  for (const string of d.plan.strings) {
    if (chosen && string.number !== chosen) continue
    /** @type {{ group: SVGElement, list: Roof.Item[] } | null} */
    let row = null
    let at = -1
    for (const module of string.modules) {
      if (!row || module.row !== at) {
        at = module.row
        row = { group: svg("g", { role: "row", "aria-label": fitted(d.words.string_row, { string: string.number }) }, grid), list: [] }
        d.rows.push(row.list)
        if (module === string.modules[0]) row.list.push(farItem(d, row.group, "string", { string: string.number }, () => stringLabel(d, string)))
      }
      row.list.push(farItem(d, row.group, "module", { string: string.number, module: module.number }, () => moduleLabel(d, module)))
    }
  }
}

/**
 * The modules of a mounted roof row by row, as they lie, each string's number before the module it begins at.
 * @param {Roof.Store} d
 * @param {SVGElement} grid
 * @param {number} chosen string, or 0
 */
function listRows(d, grid, chosen) {
  d.plan.rows.forEach((modules, k) => {
    const mine = modules.filter((module) => !chosen || module.string === chosen).sort((a, b) => a.left - b.left)
    if (!mine.length) return
    const row = svg("g", { role: "row", "aria-label": fitted(d.words.row, { row: k + 1 }) }, grid)
    d.rows.push(mine.flatMap((module) => {
      const { string, number } = module
      const item = farItem(d, row, "module", { string, module: number }, () => moduleLabel(d, module))
      return number === 1 ? [farItem(d, row, "string", { string }, () => stringLabel(d, d.plan.strings[string - 1])), item] : [item]
    }))
  })
}

/**
 * Every place of a mounted roof, while mounting and wiring is in hand.
 * @param {Roof.Store} d
 * @param {Roof.Mounted} mounted
 */
function listSpots(d, mounted) {
  const { items } = d.layers
  const key = `wire ${d.plan.scene.key} ${JSON.stringify(d.camera)}`
  if (items.key === key) return
  items.key = key
  items.replaceChildren()
  const grid = svg("g", { role: "grid", "aria-label": d.words.wire.grid }, items)
  d.rows = mounted.rows.map((spots) => {
    const [surface, number] = spots[0].at
    const label = fitted(d.words.wire.row, { surface: mounted.surfaces[surface - 1].letter, row: number })
    const row = svg("g", { role: "row", "aria-label": label }, grid)
    return spots.map((spot) => {
      const box = screenBox(d, spot)
      const element = svg("rect", { class: "item", role: "gridcell", x: box.left, y: box.top, width: box.width, height: box.height, "data-key": `@${spot.name}` }, row)
      /** @type {Roof.Place} */
      const place = spot.module ? { string: spot.module.string, module: spot.module.number } : {}
      return { key: `@${spot.name}`, place, lead: "", element, kind: "spot", box, spot, label: () => spotLabel(d, spot) }
    })
  })
}

/** @type {(d: Roof.Store, row: SVGElement, kind: string, place: Roof.Place, label: () => string) => Roof.Item} */
function farItem(d, row, kind, place, label) {
  const target = targetAt(place)
  const box = /** @type {Roof.Box} */ (d.boxes.get(target.key))
  const { left, top, width, height } = box
  const element = svg("rect", { class: "item", role: "gridcell", x: left, y: top, width, height, "data-key": target.key }, row)
  return { ...target, element, kind, box, label }
}

/** @param {Roof.Store} d */
function listNear(d) {
  const { module, tile, rail } = seen(d)
  const { cells: elements, rows } = tile
  if (!elements || !rows || !tile.box || !rail) return
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
      put(rows[k], "role", "row")
      put(rows[k], "aria-label", fitted(d.words.row, { row: k + 1 }))
    }
    return listed.map((local) => {
      const element = elements[local]
      put(element, "role", "gridcell")
      return {
        ...targetAt({ ...place, cell: local + 1 }), element, kind: "cell",
        box: screenBox(d, cellBox(module, local)), label: () => cellLabel(d, module.cell + local, local + 1),
      }
    })
  }).filter((row) => row.length)
  const alone = part && module.shape.substrings.indexOf(part) + 1
  const listed = rail.items.filter((item) => !part || item.kind !== "diode" || item.place.diode === alone)
  for (const item of listed) item.label = () => railLabel(d, module, item)
  d.rows = mergeRail(cells, listed, rail.rail)
}

/**
 * A module that is not gone through by keys has no grid, rows or cells for a screen reader.
 * @param {Roof.Tile} tile
 */
export function unname(tile) {
  const { box, rows, cells } = tile
  delete tile.named
  for (const one of [box, ...(rows ?? []), ...(cells ?? [])]) {
    for (const name of ["role", "tabindex", "aria-label", "aria-selected"]) one?.removeAttribute(name)
  }
}
