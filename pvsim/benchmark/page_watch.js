// Notes in the page what happens when; nothing is asked of the page while it is timed.
// One clock for all: milliseconds since the page began, as event.timeStamp counts them.
(() => {
  const notes = []
  const note = (what, at, number = 0) => notes.push([what, at, number])
  for (const what of ["pointerdown", "pointermove", "pointerup"]) {
    addEventListener(what, (event) => note(what, event.timeStamp), true)
  }

  // The drawing's outbox numbers its messages; each is answered by its number. Other parts number theirs too.
  const Plain = window.WebSocket
  window.WebSocket = class extends Plain {
    constructor(...args) {
      super(...args)
      this.addEventListener("message", ({ data }) => hear("answered", data))
    }
    send(data) {
      hear("asked", data)
      super.send(data)
    }
  }
  const NUMBERED = /"model",\{"id":"([^"]+)"\}\],\["data",\{"type":"map","entries":\[\["(?:number|answered)",(\d+)/g
  const hear = (what, data) => {
    for (const found of typeof data === "string" ? data.matchAll(NUMBERED) : []) {
      if (drawing(found[1])) note(what, performance.now(), Number(found[2]))
    }
  }
  const drawing = (id) => Bokeh.documents[0]?.get_model_by_id(id)?.data?.scene !== undefined

  const data = (has) => {
    for (const model of Bokeh.documents[0]._all_models.values()) {
      if (model.data && has(model.data)) return model.data
    }
    throw new Error("the page has no such part")
  }
  const deep = function* (root) {
    yield root
    for (const element of root.querySelectorAll("*")) if (element.shadowRoot) yield* deep(element.shadowRoot)
  }

  window.pvsimWatch = {
    /** Note every curve that arrives and every end of a paint of the two figures. */
    begin() {
      const ids = data((one) => one.ids && one.shown).ids
      const source = Bokeh.documents[0].get_model_by_id(ids.sources.now)
      source.properties.data.change.connect(() => note("curve", performance.now()))
      for (const name of ["current", "power"]) {
        const view = Bokeh.index.find_one_by_id(ids.figures[name])
        view.repainted.connect(() => note(name, performance.now()))
      }
    },
    /** All notes since the last call. */
    take: () => notes.splice(0),
    /** What the drawing was told last. */
    now: () => data((one) => one.scene && one.now).now,
    /** Middles of elements that show on the screen and can be hit there. */
    middles(selector) {
      const found = []
      for (const root of deep(document)) {
        for (const element of root.querySelectorAll(selector)) {
          const { x, y, width, height } = element.getBoundingClientRect()
          const middle = [x + width / 2, y + height / 2]
          if (width && root.elementsFromPoint(...middle).some((one) => element.contains(one))) found.push(middle)
        }
      }
      return found
    },
  }
})()
