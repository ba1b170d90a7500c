// The desk: levels, figures with their overlay, operating point, key figures and tables.

import { lastWord, makeOutbox } from "../shared/outbox.js"
import { makeChoices } from "./choices.js"
import { HIGH_PX, LOW_PX, restyle, token } from "./dress.js"
import { drawText, html, svg } from "./labels.js"
import { drawCursor, drawLedger } from "./ledger.js"
import { drawDifference, drawFigure, drawLoad, drawTitle, frameBox, frameOf, inside, levelAt, nearestOn, obstacles, pixels, spots } from "./overlay.js"

const TWIN_PX = 290 // below this height the two figures share one frame
const HANDLE_PX = 24 // round the point held: what a finger hits
const REST_MS = 700 // arrow keys that follow each other sooner belong together

export function render({ model, view }) {
  const words = model.words
  let ids = model.ids
  const find = (id) => view.model.document && view.model.document.get_model_by_id(id)
  let shown = model.shown
  let drag = null // the point under the pointer, until the server has answered
  let font = { family: "sans-serif", size: 12.5, weight: 600, k: 1 }
  const outbox = makeOutbox(model, {
    merge: lastWord,
    heard: () => { if (!outbox.busy && !(drag && drag.held)) { drag = null; paint() } },
  })
  const say = (what, value) => outbox.say({ do: what, value })

  // Structure, built once
  const levels = makeChoices(words.level, "levels", (level) => say("level", level))
  const views = makeChoices(words.view, "views", (key) => say("view", key))
  const tool = (label, send) => html("button", { type: "button", class: "tool", onclick: send }, label)
  const quantity = makeChoices(words.quantity, "quantities", (key) => say("quantity", key))
  const stages = makeChoices(words.stages, "stages", (key) => say("stage", key))
  const reverse = tool(words.reverse, () => say("reverse", !shown.reverse))
  reverse.title = words.reverse_title
  const fit = tool(words.fit, () => say("fit", !shown.fitted))
  const tools = html("div", { class: "tools" }, quantity, stages, reverse, fit)
  const stage = html("div", { class: "stage" })
  const holders = {}
  for (const kind of ["current", "power", "difference"]) {
    holders[kind] = html("div", { class: "figure", "data-figure": kind })
    stage.append(holders[kind])
  }
  const seat = () => {
    for (const [kind, holder] of Object.entries(holders)) {
      if (ids.figures[kind]) holder.replaceChildren(model.get_child(kind))
      else holder.hidden = true
    }
  }
  seat()
  // The difference comes when somebody first looks at it, and the others are seated anew with it.
  view.on_child_render("difference", () => {
    ids = model.ids
    seat()
    view.render_children()
  })
  const ledger = html("div", { class: "ledger", role: "img" })
  const note = html("p", { class: "note" })    // in place of the ledger, where nothing adds up
  const layer = svg("svg", { class: "overlay", "aria-hidden": "true" })
  // Apart from what is drawn anew: a finger loses what is taken from under it.
  const holds = html("div", { class: "holds", "aria-hidden": "true" })
  stage.append(ledger, note, layer, holds)
  const sheet = html("div", { class: "sheet", role: "region", tabindex: "0" })

  const modes = makeChoices(words.held, "modes", (kind) => say("operation", kind))
  const entry = html("input", { type: "text", inputmode: "decimal", autocomplete: "off" })
  const unit = html("span", { class: "quiet" })
  const heldAt = html("span", { class: "quiet", "aria-hidden": "true" }, shown.control.short || "")
  const slider = html("input", { type: "range" })
  const read = html("div", { class: "read" })
  const operate = html("div", { class: "operate" }, html("div", { class: "held" }, heldAt, modes), html("div", { class: "entry" }, entry, unit), slider, read)
  const key = html("table", { class: "key" })
  const sum = html("table", { class: "hidden" })    // the bars of the construction, for those who do not see them
  const column = html("div", { class: "column" }, levels, html("div", { class: "bar" }, views, tools), stage, sum, sheet, operate, key)
  const board = html("div", { class: "board" }, column)

  // All that one grip, or a run of arrow keys, moves is one step to undo.
  let resting = null, held = false
  const begin = () => {
    clearTimeout(resting)
    if (!held) say("stroke", "begin")
    held = true
  }
  const end = () => {
    clearTimeout(resting)
    if (!held) return
    held = false
    say("stroke", "end")
  }
  const moving = ["ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown", "PageUp", "PageDown", "Home", "End"]
  slider.addEventListener("pointerdown", begin)
  slider.addEventListener("keydown", (event) => { if (moving.includes(event.key)) begin() })
  slider.addEventListener("input", () => say("slide", Number(slider.value)))
  slider.addEventListener("keyup", () => { clearTimeout(resting); resting = setTimeout(end, REST_MS) })
  for (const name of ["pointerup", "pointercancel", "blur"]) slider.addEventListener(name, end)
  let offered = "" // what stands in the box unless somebody types
  const enter = () => { if (entry.value !== offered) say("typed", entry.value) }
  entry.addEventListener("change", enter)
  entry.addEventListener("keydown", (event) => { if (event.key === "Escape") entry.value = offered })

  // Painting
  const figures = () => Object.keys(ids.figures).map((kind) => ({
    name: kind, kind: kind === "difference" ? shown.quantity : kind, model: find(ids.figures[kind]),
  })).filter((one) => one.model)

  const spans = {
    current: () => ({ x: shown.axes.V, y: shown.axes.I }),
    power: () => ({ x: shown.axes.V, y: shown.axes.P }),
    difference: () => ({ x: shown.axes.V, y: shown.axes.D }),
  }
  let frames = {}

  // Measuring makes the browser lay the whole page out, so it is done only when something has moved.
  let stale = true, height = 0, boxes = {}, ledgerBox = null
  function measure() {
    const origin = stage.getBoundingClientRect(), low = ledger.getBoundingClientRect()
    boxes = {}
    for (const kind of Object.keys(holders)) boxes[kind] = holders[kind].hidden ? null : frameBox(origin, ids.figures[kind])
    ledgerBox = { y: low.top - origin.top, height: low.height }
    stale = Object.values(holders).some((holder) => !holder.hidden && !boxes[holder.dataset.figure])
  }

  // Two figures above each other where there is room, else both in one frame with an axis on either side.
  let twin = false
  function arrange() {
    const low = height < TWIN_PX * font.k
    twin = low && shown.view === "curves"
    stage.classList.toggle("twin", twin)
    const visible = low && shown.view === "difference" ? ["difference"] : shown.figures
    for (const [kind, holder] of Object.entries(holders)) {
      const at = visible.indexOf(kind)
      const place = `${at} ${at === visible.length - 1} ${twin}`
      if (holder.dataset.place === place) continue
      holder.dataset.place = place
      holder.hidden = at < 0
      holder.style.order = at
      holder.classList.toggle("lowest", at === visible.length - 1)
      stale = true
    }
    dress(visible[visible.length - 1])
    return visible
  }

  function paintOverlay() {
    frames = {}
    if (stale) height = stage.clientHeight
    if (!height || stage.hidden) {
      layer.replaceChildren()
      holds.replaceChildren()
      return
    }
    const visible = arrange()
    if (stale) measure()
    for (const kind of visible) frames[kind] = frameOf(boxes[kind], spans[kind]())
    const overlay = svg("g")
    const defs = svg("defs", {}, overlay)
    const now = find(ids.sources.now), old = find(ids.sources.before), diff = find(ids.sources.difference)
    const curves = {}, befores = {}
    for (const [kind, column] of [["current", "I"], ["power", "P"]]) {
      if (!frames[kind]) continue
      curves[kind] = pixels(now, column, frames[kind])
      befores[kind] = shown.compared ? pixels(old, column, frames[kind]) : null
    }
    if (frames.difference) curves.difference = pixels(diff, "D", frames.difference)
    const here = { ...shown, curves, befores, words, twin }
    if (drag && drag.point) {
      const { V, I } = drag.point
      here.held = [{ V, I, P: V * I, label: {} }]
    }
    if (shown.view === "parts" && drag && drag.cursor !== undefined) here.parts = { ...shown.parts, at: drag.cursor, rows: [] }
    const taken = []
    const avoid = (kind) => {
      const other = kind === "power" ? "current" : "power"
      return twin && frames[other] ? [...obstacles(curves[other], frames[other]), ...levelAt(frames[other], 0)] : []
    }
    if (twin) for (const kind of visible) if (frames[kind]) taken.push(...spots(frames[kind], kind, here, font))
    for (const kind of visible) {
      const frame = frames[kind]
      if (!frame) continue
      const id = `clip-${kind}`
      svg("rect", { x: frame.x, y: frame.y, width: frame.width, height: frame.height }, svg("clipPath", { id }, defs))
      drawTitle(overlay, frame, shown.titles[kind], kind === "difference" ? shown.quantity : kind, twin && kind === "power")
      if (kind === "difference") drawDifference(overlay, frame, here, font)
      else {
        if (shown.view !== "parts") drawLoad(overlay, frame, kind, shown.load, id)
        drawFigure(overlay, frame, kind, shown.view === "parts" ? { ...here, held: shown.parts ? [] : here.held } : here, font, twin ? taken : [], avoid(kind))
      }
    }
    const first = frames[visible[0]]
    if (first && shown.view === "parts" && shown.parts) {
      drawCursor(overlay, first, here.parts)
      const area = { x: first.x, y: ledgerBox.y + 22 * font.k, width: first.width, height: ledgerBox.height - 24 * font.k }
      const axis = shown.parts.kind === "series" ? first.toX : (value) => first.x + (value / shown.axes.I[1]) * first.width
      drawText(overlay, [[shown.parts.title, ""]], { x: first.x, y: area.y - 6, class: "axis" })
      svg("path", { d: `M${axis(0)} ${area.y}V${area.y + area.height}`, class: "leader" }, overlay)
      drawLedger(overlay, defs, area, axis, shown.parts, font)
      const end = axis(shown.parts.total)
      if (shown.parts.kind === "series") svg("path", { d: `M${end} ${first.toY(here.parts.at)}V${area.y}`, class: "hair" }, overlay)
    } else if (here.held.length === 1 && shown.view !== "parts") {
      const [held] = here.held
      const ends = visible.map((kind) => frames[kind]).filter(Boolean)
      const last = ends[ends.length - 1]
      if (last) {
        const x = last.toX(held.V)
        if (x >= last.x && x <= last.x + last.width) {
          const top = Math.min(...visible.map((kind) => {
            const value = { current: held.I, power: held.P, difference: 0 }[kind]
            return frames[kind] ? Math.max(frames[kind].y, frames[kind].toY(value)) : Infinity
          }))
          overlay.insertBefore(svg("path", { d: `M${x} ${top}V${last.y + last.height}`, class: "hair" }), defs.nextSibling)
        }
      }
    }
    const last = frames[visible[visible.length - 1]]
    if (last) {
      const text = drawText(overlay, [[words.voltage_axis, ""]], { x: last.x + last.width, y: last.y + last.height + 29 * font.k, class: "axis", "text-anchor": "end" })
      if (shown.view === "parts") text.setAttribute("y", last.y + last.height + 27 * font.k)
    }
    layer.dataset.drawn = `${shown.level} ${visible.filter((kind) => frames[kind]).join(" ")}`
    for (const kind of visible) {
      const frame = frames[kind]
      if (!frame || kind === "difference") continue
      const hit = svg("rect", { x: frame.x - 8, y: frame.y - 6, width: frame.width + 16, height: frame.height + 12, class: "hit" }, overlay)
      hit.addEventListener("pointerdown", (event) => { if (event.pointerType === "mouse") startDrag(event, kind, curves) })
    }
    paintHandles(visible, here, curves)
    layer.replaceChildren(overlay)
  }

  // Where a finger takes hold: round the point held, or along the cursor of the construction. One that
  // begins anywhere else scrolls the page.
  function handles(frame, here) {
    if (shown.view !== "parts") {
      const value = { current: "I", power: "P" }[frame.kind]
      const across = 2 * HANDLE_PX
      return here.held.map((one) => [frame.toX(one.V), frame.toY(one[value])]).filter(([x, y]) => inside(frame, x, y, 3))
        .map(([x, y]) => ({ left: x - HANDLE_PX, top: y - HANDLE_PX, width: across, height: across }))
    }
    if (!shown.parts) return []
    const at = here.parts.at
    return [shown.parts.kind === "series"
      ? { left: frame.x, top: frame.toY(at) - HANDLE_PX, width: frame.width, height: 2 * HANDLE_PX }
      : { left: frame.toX(at) - HANDLE_PX, top: frame.y, width: 2 * HANDLE_PX, height: frame.height }]
  }

  let grasp = {}
  function paintHandles(visible, here, curves) {
    const wanted = visible.filter((kind) => frames[kind] && kind !== "difference")
      .flatMap((kind) => handles({ ...frames[kind], kind }, here).map((at) => ({ at, kind })))
    grasp = curves
    while (holds.children.length > wanted.length) holds.lastChild.remove()
    wanted.forEach(({ at, kind }, k) => {
      const one = /** @type {HTMLElement} */ (holds.children[k]) ?? holds.appendChild(html("div", { class: "handle", onpointerdown: (event) => startDrag(event, one.dataset.kind, grasp) }))
      one.dataset.kind = kind
      for (const [name, px] of Object.entries(at)) one.style[name] = `${px}px`
    })
  }

  // The pointer moves the operating point along the curve, or the cursor across it
  function startDrag(event, kind, curves) {
    if (event.button) return
    const origin = stage.getBoundingClientRect()
    if (twin) {
      const far = (one) => (nearestOn(curves[one], event.clientX - origin.left, event.clientY - origin.top) || { distance: Infinity }).distance
      kind = far("current") <= far("power") ? "current" : "power"
    }
    const frame = frames[kind], points = curves[kind]
    drag = { held: true }
    stage.setPointerCapture(event.pointerId)
    say("stroke", "begin")
    const move = (at) => {
      const x = at.clientX - origin.left, y = at.clientY - origin.top
      if (shown.view === "parts" && shown.parts) {
        const [low, high] = [shown.parts.least, shown.parts.most]
        const value = shown.parts.kind === "series" ? frame.fromY(y) : frame.fromX(x)
        drag.cursor = Math.max(low, Math.min(high, value))
        say("cursor", drag.cursor)
      } else {
        const found = nearestOn(points, x, y)
        if (!found || !Number.isFinite(found.distance)) return
        drag.point = kind === "current" ? { V: found.V, I: found.Y } : { V: found.V, I: found.V ? found.Y / found.V : 0 }
        say("point", drag.point)
      }
      paintOverlay()
    }
    const stop = () => {
      stage.removeEventListener("pointermove", move)
      stage.removeEventListener("pointerup", stop)
      stage.removeEventListener("pointercancel", stop)
      if (drag) drag.held = false
      say("stroke", "end")
    }
    stage.addEventListener("pointermove", move)
    stage.addEventListener("pointerup", stop)
    stage.addEventListener("pointercancel", stop)
    move(event)
  }

  function paintControls() {
    levels.show(shown.levels, shown.level)
    views.show(words.views, shown.view)
    const figures = shown.view !== "table"
    stage.hidden = !figures
    stage.style.display = figures ? "" : "none"
    sheet.hidden = figures
    column.dataset.view = shown.view
    ledger.hidden = !shown.parts
    ledger.style.order = "9"
    note.hidden = !shown.partsNote
    note.textContent = shown.partsNote
    const lines = shown.parts ? shown.parts.rows.length + 1 : 3
    ledger.style.flex = `0 1 ${Math.round((26 + 25 * lines) * font.k)}px`
    quantity.hidden = shown.view !== "difference"
    quantity.style.display = quantity.hidden ? "none" : ""
    if (!quantity.hidden) quantity.show(words.quantities, shown.quantity)
    const several = shown.view === "parts" && shown.parts && shown.parts.stages.length > 1
    stages.style.display = several ? "" : "none"
    if (several) stages.show(shown.parts.stages, shown.parts.stage)
    reverse.setAttribute("aria-pressed", String(shown.reverse))
    reverse.style.display = shown.view === "difference" || several ? "none" : ""
    fit.style.display = several ? "none" : ""
    fit.setAttribute("aria-pressed", String(shown.fitted))
    fit.classList.toggle("offer", shown.offer && !shown.fitted)
    fit.title = shown.fitted ? words.fitted_title : words.fit_title
    const control = shown.control
    modes.style.display = control.modes ? "" : "none"
    heldAt.textContent = control.modes ? control.short : control.label
    if (control.modes) modes.show(control.modes, control.kind)
    slider.min = control.least; slider.max = control.most; slider.step = control.step
    if (!held || !outbox.busy) slider.value = control.value
    slider.setAttribute("aria-label", control.label)
    const here = shown.levels.find((one) => one.key === shown.level)
    slider.setAttribute("aria-valuetext", control.where && here ? `${control.where}; ${here.label}: ${control.text}` : control.text)
    if (!entry.matches(":focus")) entry.value = control.number
    offered = control.number
    entry.setAttribute("aria-label", `${control.label} (${control.unit})`)
    unit.textContent = control.unit
    read.replaceChildren(control.lead ? `${control.lead} ` : "", html("b", {}, control.text), control.of ? ` ${control.of}` : "",
      html("span", { class: "where" }, control.text && control.where ? "; " : "", control.where), control.text || control.where ? "; " : "", control.more)
  }

  let keyed = ""
  function paintKey() {
    const now = JSON.stringify([shown.key, shown.keyCompared])
    if (now === keyed) return
    keyed = now
    const head = html("tr", {}, html("th", { scope: "col" }, html("span", { class: "hidden" }, words.row)))
    for (const one of shown.key) {
      const th = html("th", { scope: "col", title: one.name }, one.symbol[0])
      if (one.symbol[1]) th.append(html("sub", {}, one.symbol[1]))
      if (one.unit) th.append(html("span", { class: "unit" }, ` ${one.unit}`))
      head.append(th)
    }
    const row = (name, label, cell) => html("tr", { class: name }, html("th", { scope: "row" }, label), ...shown.key.map(cell))
    const signed = (one) => `${one.key} ${one.sign < 0 ? "fall" : one.sign > 0 ? "rise" : ""}`
    const rows = [row("now", words.now, (one) => html("td", {}, one.now))]
    if (shown.keyCompared) {
      rows.push(
        row("before", words.before, (one) => html("td", {}, one.before)),
        row("change", words.change, (one) => html("td", { class: signed(one) }, one.change)),
        row("percent", words.percent, (one) => html("td", { class: signed(one) }, one.percent)),
      )
    }
    key.replaceChildren(html("caption", { class: "hidden" }, shown.caption), html("thead", {}, head), html("tbody", {}, ...rows))
  }

  function paintSheet() {
    if (shown.view !== "table") return
    sheet.setAttribute("aria-label", shown.tables.map((one) => one.caption).join(", "))
    const top = sheet.scrollTop
    sheet.replaceChildren(...shown.tables.map(pointTable))
    sheet.scrollTop = top
  }

  function pointTable({ caption, groups, columns, rows }) {
    const wide = groups.map(([name, span]) => html("th", { scope: span > 1 ? "colgroup" : "col", colspan: span }, name))
    return html("table", { class: columns.length ? "many" : "" },
      html("caption", {}, caption),
      html("thead", {},
        html("tr", {}, ...wide),
        columns.length ? html("tr", { class: "below" }, ...columns.map((name) => html(name ? "th" : "td", name ? { scope: "col" } : {}, name))) : null),
      html("tbody", {}, ...rows.map((row) => html("tr", { class: row.name ? "named" : "" },
        html("th", { scope: "row" }, row.name ? html("span", { class: "name" }, row.name) : null, row.cells[0]),
        ...row.cells.slice(1).map((cell) => html("td", {}, cell))))),
    )
  }

  function paintSum() {
    const parts = shown.view === "parts" && shown.parts
    sum.style.display = parts ? "" : "none"
    if (!parts) return
    const row = (label, from, to) => html("tr", {}, html("th", { scope: "row" }, label), html("td", {}, from), html("td", {}, to))
    const plain = (value) => Number(value.toPrecision(4)).toString().replace("-", "\u2212").replace(".", document.documentElement.dataset.decimal || ".")
    sum.replaceChildren(html("caption", {}, words.sum),
      html("thead", {}, html("tr", {}, ...[words.sum_part, words.sum_from, words.sum_to].map((name) => html("th", { scope: "col" }, name)))),
      html("tbody", {}, ...parts.rows.map((one) => row(one.label, plain(one.from), plain(one.to))),
        row(parts.totalLabel, "0", plain(parts.total))))
  }

  let waiting = 0
  const paint = () => { cancelAnimationFrame(waiting); waiting = requestAnimationFrame(paintOverlay) }
  let style = "", dressed = ""
  const dress = (lowest) => {
    if (!board.isConnected) return
    const wish = `${shown.quantity} ${lowest} ${twin}`
    if (style && wish === dressed) return
    dressed = wish
    const styles = getComputedStyle(board)
    const now = [
      styles.color, styles.fontFamily, token(styles, "--type-scale", "1"), token(styles, "--stroke", "2"),
      token(styles, "--curve-i", ""), wish, find(ids.figures.current) ? "there" : "",
    ].join()
    if (now === style) return
    style = now
    stale = true
    font = restyle(figures(), board, lowest, twin)
    stage.style.setProperty("--low", `${Math.round(LOW_PX * font.k)}px`)
    stage.style.setProperty("--high", `${Math.round(HIGH_PX * font.k)}px`)
  }
  const update = () => {
    shown = model.shown
    paintControls()
    paintKey()
    paintSheet()
    paintSum()
    ledger.setAttribute("aria-label", shown.parts ? shown.parts.spoken : "")
    paint()
  }
  model.on("shown", update)
  const moved = () => { stale = true; paint() }
  const sizes = new ResizeObserver(() => { style = ""; moved() })    // a larger page may have larger type
  for (const one of [stage, ledger, ...Object.values(holders)]) sizes.observe(one)
  const looks = new MutationObserver(() => { style = ""; moved() })
  looks.observe(document.documentElement, { attributes: true })
  const laid = []
  const follow = () => {
    for (const { model: figure } of figures()) {
      for (const property of ["inner_width", "inner_height"]) {
        figure.properties[property].change.connect(moved)
        laid.push(() => figure.properties[property].change.disconnect(moved))
      }
    }
    moved()
  }
  model.on("after_layout", moved)
  model.on("after_render", () => { follow(); setTimeout(moved, 60) })
  model.on("remove", () => {
    end()
    outbox.close()
    sizes.disconnect()
    looks.disconnect()
    laid.forEach((stop) => stop())
  })
  if (document.fonts) document.fonts.ready.then(() => { style = ""; moved() })
  update()
  return board
}
