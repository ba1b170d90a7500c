// @ts-check
// The desk: levels, figures with their overlay, operating point, key figures and tables.

import { el } from "../shared/elements.js"
import { lastWord, makeOutbox } from "../shared/outbox.js"
import { makeFigures } from "./figures.js"
import { makeGrips } from "./grips.js"
import { makeKeyTable } from "./key_table.js"
import { svg } from "./labels.js"
import { makeOperating } from "./operating.js"
import { drawPicture, sceneOf } from "./picture.js"
import { makeSumTable, makeTableSheet } from "./point_tables.js"
import { makeToolRows } from "./tool_rows.js"

/** @param {{ model: Curves.Model, view: Curves.View }} component */
export function render({ model, view }) {
  const { words } = model
  let { shown } = model
  const outbox = makeOutbox(model, {
    merge: lastWord,
    heard: () => { if (!outbox.busy && grips.letGo()) paint() },
  })
  /** @type {(what: string, value: unknown) => void} */
  const say = (what, value) => outbox.say({ do: what, value })

  let waiting = 0
  const paint = () => { cancelAnimationFrame(waiting); waiting = requestAnimationFrame(paintOverlay) }

  const ledger = el("div", { class: "ledger", role: "img" })
  ledger.style.order = "9"
  const note = el("p", { class: "note" })    // in place of the ledger, where nothing adds up
  const layer = svg("svg", { class: "overlay", "aria-hidden": "true" })
  const figures = makeFigures(model, view, ledger, paint)
  const { stage } = figures
  const grips = makeGrips(stage, { say, moved: () => paintOverlay() })
  stage.append(ledger, note, layer, grips.element)
  const tools = makeToolRows(words, say)
  const sum = makeSumTable(words)
  const sheet = makeTableSheet()
  const operating = makeOperating(words, { say, busy: () => outbox.busy })
  const key = makeKeyTable(words)
  const column = el("div", { class: "column" }, tools.levels, tools.bar, stage, sum.element, sheet.element, operating.element, key.element)
  const board = el("div", { class: "board" }, column)

  const paintOverlay = () => {
    const sight = figures.layOut(shown)
    const scene = sight && sceneOf(shown, sight, figures.source, grips.drag, words)
    grips.show(scene)
    if (!scene) { layer.replaceChildren(); return }
    const overlay = drawPicture(scene)
    for (const kind of scene.visible) {
      const frame = scene.frames[kind]
      if (!frame || kind === "difference") continue
      const hit = svg("rect", { x: frame.x - 8, y: frame.y - 6, width: frame.width + 16, height: frame.height + 12, class: "hit" }, overlay)
      hit.addEventListener("pointerdown", (event) => { if (event.pointerType === "mouse") grips.begin(event, kind) })
    }
    layer.dataset.drawn = `${shown.level} ${scene.visible.filter((kind) => scene.frames[kind]).join(" ")}`
    layer.replaceChildren(overlay)
  }

  const paintStage = () => {
    const { view: looked, parts, partsNote } = shown
    stage.hidden = looked === "table"
    stage.style.display = stage.hidden ? "none" : ""
    column.dataset.view = looked
    ledger.hidden = !parts
    ledger.setAttribute("aria-label", parts ? parts.spoken : "")
    const lines = parts ? parts.rows.length + 1 : 3
    ledger.style.flex = `0 1 ${Math.round((26 + 25 * lines) * figures.font.k)}px`
    note.hidden = !partsNote
    note.textContent = partsNote
  }

  const update = () => {
    shown = model.shown
    paintStage()
    tools.show(shown)
    operating.show(shown.control, shown.levels.find((one) => one.key === shown.level)?.label ?? "")
    key.show(shown)
    sheet.show(shown)
    sum.show(shown)
    paint()
  }
  model.on("shown", update)
  model.on("remove", () => {
    operating.close()
    outbox.close()
    figures.close()
  })
  update()
  return board
}
