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

/** What a component says and hears; the server's side is pvsim/app/component.py. */
declare namespace Outbox {
  /** What is asked for, and beside it with which values; most have one. */
  interface Wish { do: string, value?: any }
  interface Message<W extends Wish> { number: number, wishes: W[] }

  /** The component, as Panel gives it to a script. */
  interface Model<W extends Wish> {
    send_msg(message: Message<W>): void
    on(what: string, run: (message: any) => void): void
  }

  interface Clock { set(run: () => void, ms: number): unknown, clear(timer: any): void }

  interface Outbox<W extends Wish> {
    say(wish: W): void
    /** Send what waits, if nothing is on its way. */
    flush(): void
    /** Whether a wish so called waits or is on its way. */
    holds(name: string): boolean
    /** Say nothing more, and hear nothing. */
    close(): void
    /** Whether anything waits or is on its way. */
    readonly busy: boolean
  }
}

/** The drawing of the roof: what the server sends it (pvsim/app/roof/scene.py, state_payload.py), and what it makes of that. */
declare namespace Roof {
  type Level = "array" | "string" | "module" | "substring" | "cell"
  type Quantity = "irradiance" | "voltage" | "power" | "temperature"
  type Tray = "look" | "shade" | "break" | "mend" | "shadow"
  type Theme = "light" | "dark"

  interface Point { x: number, y: number }
  /** A point of the roof in mm, and where on the screen it is seen, in px. */
  interface Seen extends Point { px: number, py: number }
  interface Box { left: number, top: number, width: number, height: number }

  /** Numbers from 1, as people count; what is left out is not meant. */
  interface Place { string?: number, module?: number, cell?: number, diode?: number, substring?: number }

  /** Some cells in series, spanned by one bypass diode or none; `first` counts from 0 within the module. */
  interface Part {
    first: number, count: number, lengths: number[], chains: string[], diode: boolean
    a: [number, number], b: [number, number]
  }

  /** One type of module as it lies, in mm from its top left corner. */
  interface Shape {
    title: string, width: number, height: number
    /** Left, top, width and height of each cell, one after the other. */
    cells: number[]
    /** One hexadecimal digit a cell: the corners that are cut off. */
    cuts: string
    /** Cells (from 0) in rows, as the eye reads them. */
    rows: number[][]
    ribbons: string, bars: string, substrings: Part[]
    rail: "top" | "bottom" | "left" | "right" | "across" | "down"
  }

  /** What stays while things are shaded or broken. */
  interface Scene {
    key: number, shapes: Shape[]
    /** String, number in it, left and top in mm, shape, row. */
    modules: [number, number, number, number, number, number][]
    strings: { fuse: boolean, blocking: boolean }[]
    tracking: string, wiring: string, grounded: boolean, whole: boolean
    outlines: { leaf: number[], dropping: number[] }
  }

  /** A module where it lies; `cell` and `diode` are its first ones, counted over the array. */
  interface Module extends Box {
    index: number, string: number, number: number, shape: Shape, row: number
    cell: number, cells: number, diode: number, diodes: number
  }

  interface Plan {
    scene: Scene, modules: Module[], rows: Module[][], cells: number, diodes: number, box: Box
    strings: { index: number, number: number, modules: Module[] }[]
  }

  interface Scale { kind: "glass" | "signed" | "heat", low: number, high: number, unit: string, ticks: number[] }

  /** A shadow on the roof, in m and degrees. */
  interface Shadow {
    kind: string, x: number, y: number, width: number, height: number, angle: number, through: number, name: string
  }

  /** A fault: index of its part over the array, kind, size. */
  type Fault = [number, string, number | null]
  /** One whose part is told in words. */
  type ToldFault = [string, string, number | null]

  /** A figure that the solver found; null while it is kept back. */
  type Figure = number | null

  /** What often changes. */
  interface Now {
    scene: number, level: Level, focus: Place, quantity: Quantity, condition: string, handed: number, theme: Theme
    locked: boolean, fresh: boolean, kept_back: boolean, readout: string
    scale: Scale
    /** Values times `quantum` and flags of the cells in `ranges` (first, count), as base64. */
    cells: { ranges: [number, number][], values: string, flags: string, quantum: number }
    modules: { value: number[], power: Figure[], voltage: Figure[], eats: number[] }
    strings: { current: Figure[], voltage: Figure[], power: Figure[] }
    trackers: [Figure, Figure][]
    diodes: { on: number[], current: number[], back: number[], back_current: number[] }
    /** First cell, how many, and the share of its light that paint leaves each. */
    painted: [number, number, number][]
    faults: { cell: Fault[], diode: Fault[], module: Fault[], string: Fault[], substring: ToldFault[], other: ToldFault[] }
    shadows: Shadow[]
    detail?: Detail | null
    cell?: object | null
  }

  /** Every figure of the module in focus. */
  interface Detail {
    module: number
    voltage: number[], current: number[], power: number[], irradiance: number[], temperature: number[]
    diodes: number[], diode_voltage: number[], diode_current: number[]
  }

  /** What the browser wants done; see RoofView._command. */
  type Wish =
    | BrushWish
    | ShadowWish
    | { do: "show", focus: string, level?: Level }
    | { do: "choose", quantity?: Quantity, condition?: string }
    | { do: "go", text: string }
    | { do: "mend", at?: undefined, place: string }
    | { do: "mend-all" }
    | { do: "apply", place: string }
    | { do: "lift" }
    | { do: "shadow-add", kind: string, x: number, y: number }
    | { do: "shadow-remove", index: number }

  /** To shade or mend cells or modules, by their numbers over the array; what a stroke does is one step to undo. */
  interface BrushWish { do: "paint" | "mend", of?: "cell" | "module", at: number[], to?: number, stroke?: number }
  interface ShadowWish extends Partial<Omit<Shadow, "kind" | "name">> { do: "shadow", index: number, stroke?: number }

  interface Answer { answered?: number, address?: string, typed?: string, place?: string }

  interface Camera { scale: number, x: number, y: number }
  interface Traveller {
    readonly now: Camera | null
    go(target: Camera, milliseconds: number): void
    finish(): void
    halt(): void
  }

  /** Something to go to by keys: where it is seen, in px, and what it is. */
  interface Item { key: string, kind: string, box: Box, place: Place, element: SVGElement }

  /** A substring at the junction box, in px: its ends, those on the rail, and its diode between them. */
  interface RailPart {
    a: number[], b: number[], A: number[], B: number[], middle: [number, number], angle: number, diode: boolean
  }

  /** A cable as it is drawn: the key of its part, and its straight pieces in px. */
  interface Cable { key: string, lines: [number, number, number, number][] }

  /** A module's elements; those of its cells only while they are drawn. */
  interface Tile {
    module: Module, group: SVGGElement, tile: SVGElement | null, hatch: SVGElement | null
    cells: SVGElement[] | null, rows: SVGElement[] | null, colour: Int16Array | null
    marks: Map<number, { key: string, group: SVGElement }>
  }

  /** The module that is seen from near. */
  interface Active {
    module: Module, tile: Tile, ribbons: { group: SVGElement, flows: object }, texts: object | null
    rail?: { items: Item[], rail: { upright: boolean }, leads?: Cable[] }
  }

  /** A press of the pointer: where it began, and where it is. */
  interface Press { pointer: number, last: Seen, start: Seen, key: string, moved: boolean }
  /** One that looks at a part, or applies the tool to it when it is lifted. */
  interface Tap extends Press { kind: "tap" | "look", target: string }
  /** What shades or mends all it meets; without a press where a key began it. */
  interface Brushing extends Partial<Press> {
    kind: "paint" | "mend", id: number, of: "cell" | "module", to: number, done: Set<number>
  }
  type Stroke = Tap | Brushing

  /** The handle of a shadow that is dragged, and the shadow as it was. */
  interface Grip { name: string, start: Seen, from: Shadow, id: number }
  interface ShadowEdit { index: number, values: Partial<Shadow>, held: boolean, grip?: Grip }

  /** A kind of fault, in words, and where it can be. */
  interface Kind { title: string, scope: string, scopes: string[], group: string }

  /** Texts of the drawing; see roof_words.py. */
  interface Words {
    kinds: Record<string, Kind>
    groups: { scope: string, first: string, sets: { kinds: [string, ...unknown[]][] }[] }[]
    levels: Record<Level, string>
    shadows: [string, string][]
    path: string, address: string, address_hint: string, go: string
    choose_fault: string, go_nearer: string, cannot_shade: string
    band_at: string, shadow_at: string, resize: string, turn: string
    /** What to do first, by tool; what to beware of, by kind of fault; a number's bounds; marks and their meaning. */
    first_hint: Record<string, string>, cautions: Record<string, string>, needs_whole: string, marks: [string, string][]
  }

  /** The component, as Panel gives it to a script. */
  interface Model extends Outbox.Model<Wish> {
    scene: Scene, now: Now, words: Words
  }

  type Change = "scene" | "state" | "light" | "picture"

  /** The store: all that the drawing knows. store.js changes it and tells who subscribed. */
  interface Store {
    model: Model, words: Words
    subscribers: Record<Change, ((d: Store) => void)[]>
    plan: Plan, now: Now, camera: Camera, target?: Camera, size: { width: number, height: number }, typeScale: number
    level: Level, focus: Place, quantity: Quantity, condition: string, handed?: number, theme: Theme
    tray: Tray, scope: string, hint: string, chosenShadow: number, newShadow: number
    /** Of a cell, by index over the array. */
    value: (cell: number) => number, flags: (cell: number) => number, known: (module: Module) => boolean
    broken: Map<number, string[]>
    /** What was asked for and is not yet confirmed. */
    wanted: { level?: Level, focus?: Place, quantity?: Quantity, condition?: string }
    /** The share of its light that paint leaves a cell: as known, and not yet confirmed. */
    painted: Map<number, number>, pending: Map<number, number>
    tiles: { groups: Tile[], plan: Plan, whole: boolean }, active: Active | null
    rows: Item[][], current: Item | null, cursor: string, cursorAt: string, cables?: Cable[]
    stroke: Stroke | null, strokes: number, shadowEdit: ShadowEdit | null
    due?: boolean, arrived?: boolean, resizing?: boolean, moving: number, keysRest?: number
    hoverKey: string, pointed?: string, wiringKey: string, railKey: string
    calm: MediaQueryList
    outbox: Outbox.Outbox<Wish>, traveller: Traveller
    address: { answer(found: Answer): void, clear(): void }
    root: HTMLElement, stage: HTMLElement, image: SVGSVGElement, world: SVGElement
    crumbs: HTMLElement & { key?: string }, also: HTMLElement, readout: HTMLElement, spoken: HTMLElement
    layers: Record<string, SVGElement & { key?: string | null }>, rings: Record<string, SVGElement>
    palette: object, legend: object
    ears: [string, (event: Event) => void][], righter: () => void
    sizing: ResizeObserver, looks: MutationObserver
  }
}

/** Labels that want a place; see pvsim/files/figure/placer.py. */
declare namespace Labels {
  interface Box { x: number, y: number, width: number, height: number }
  interface Wish extends Box {
    /** Sides that are tried, the best first; all of them if there are none. */
    prefer?: number[]
    must?: boolean, far?: boolean, near?: boolean
  }
  interface Place extends Box { cost: number }
}

/** The curves. */
declare namespace Curves {
  interface Font { family: string, weight: number, k: number, size?: number }
  /** A text and what it is: "sub" is an index. */
  type Words = [text: string, kind: string][]
  interface Label {
    x: number, y: number, parts: Words
    prefer?: number[], must?: boolean, far?: boolean, near?: boolean
  }
}

/** The answers of a class as the server sends them; see lecture_chart.py. */
declare namespace Lecture {
  interface Round { name: string, people: string, counts: number[], total: number, below: number, above: number }
  interface Table { head: string[], rows: string[][] }
  interface Choices { rounds: Round[], most: number, table: Table }
  interface Numbers extends Choices {
    edges: number[], ticks: string[], unit: string
    /** Once the outcome may be seen. */
    band?: { from: number, to: number, truth: number, text: string } | null
  }
}

/** The top bar as the server lays it out (bar_layout.py), what it shows (bar_values.py), what it makes of that. */
declare namespace Bar {
  type Option = [value: string, label: string, note?: string]
  interface NoteSpec { kind: "note", id: string, text: string }
  interface RuleSpec { kind: "rule" }
  interface NumberSpec {
    kind: "number", id: string, label: string, unit: string, least: number, most: number, step: number, slider: boolean
  }
  interface OptionsSpec { kind: "choice" | "presets" | "list", id: string, label: string, options: Option[] }
  interface SelectSpec { kind: "select", id: string, label: string, at_once: boolean }
  interface LanguagesSpec { kind: "languages", id: string, label: string, options: Option[], now: string }
  interface ActSpec { kind: "act", id: string, label: string, main: boolean }
  interface FileSpec { kind: "file", id: string, label: string, accept: string, most: number }
  interface LinkSpec { kind: "link", id: string, label: string, act: string }
  type Spec = NoteSpec | RuleSpec | NumberSpec | OptionsSpec | SelectSpec | LanguagesSpec | ActSpec | FileSpec | LinkSpec

  interface Menu { kind: "menu", id: string, label: string, fields: Spec[], icon?: boolean }
  interface Tool { kind: "button", id: string, label: string, keys: string, toggle: boolean }
  interface Help {
    title: string, keys_title: string, keys: [keys: string, meaning: string][], letters: string
    cautions_title: string, cautions: string[], limits_title: string, limits: string[], version: string
  }
  interface Words { close: string, copied: string, copy_by_hand: string, link_alone: string, link_network: string }
  interface Layout { name: string, label: string, items: (Menu | Tool)[], help: Help, words: Words }

  interface Values {
    reads: Record<string, string>
    fields: Record<string, any>
    options: Record<string, Option[]>
    hidden: string[], on: string[], off: string[]
  }

  /** What answers a message: its number, and perhaps a file, a link, another language. */
  interface Answer {
    answered?: number, close?: boolean
    file?: string, mime?: string, text?: string, base64?: string
    link?: string, reach?: string
    speak?: string, query?: string
  }
  interface Model extends Outbox.Model<Outbox.Wish> {
    layout_of_bar: Layout, values: Values, wrong: Record<string, string>
  }

  /** What a field can do to the rest: say something to the server, close the panel, read another field. */
  interface Hand { send(act: string, value?: unknown): void, shut(): void, read(id: string): string, words: Words }
  interface Field {
    row: HTMLElement
    set?(value: string): void
    read?(): string
    offer?(options: Option[]): void
    /** What is wrong with it, or nothing. */
    wrong?(text: string): void
    answer?(message: Answer): void
  }
}
