// What the scripts get from elsewhere: BokehJS and Panel. Scripts see it in JSDoc; no browser loads it.

/** A view of a BokehJS model, as far as the scripts look at it. */
interface BokehView {
  el: HTMLElement
  frame?: { bbox: { left: number, top: number, width: number, height: number } }
  canvas_view?: { events_el?: HTMLElement }
}

/** The part of BokehJS that the scripts speak to. */
interface BokehPage {
  documents: any[]
  index: { find_one_by_id(id: string): BokehView | null }
  Models: { get(name: string): any }
}

declare const Bokeh: BokehPage

interface Window {
  Bokeh: BokehPage
  /** What Panel loads a component's module with. */
  importShim: ((address: string) => Promise<unknown>) & { addImportMap(map: object): void }
}
