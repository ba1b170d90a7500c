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

type PvsimModules = Record<string, object>

interface Window {
  Bokeh: BokehPage
  /** What Panel loads a component's module with. */
  importShim: ((address: string) => Promise<unknown>) & { addImportMap(map: object): void }
  /**
   * The page's modules by their names, those of them that are imported from outside, and the names of those that
   * are not among them; see pvsim/app/bundle.py.
   */
  pvsimBundle: {
    root: string, own: string, makers: Record<string, (modules: PvsimModules) => object>, asked: string[], others: string[]
  }
  /** What each of them exports. */
  pvsimModules: PvsimModules
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
  type Tray = "look" | "shade" | "break" | "mend" | "shadow" | "wire" | "measure"
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
    /** Of an array whose modules are mounted on surfaces; null where each string is a row. */
    mounting: Mounting | null
    outlines: { leaf: number[], dropping: number[] }
  }

  /** Surfaces and cables; see mounting_scene.py. In mm on the drawing. */
  interface Mounting {
    surfaces: Surface[]
    /** Surface, row and place, counted from 1; left, top, width, height. */
    places: [number, number, number, number, number, number, number][]
    /** Index of its place, left, top, shape. */
    unwired: [number, number, number, number][]
    /** By module the index of its place, or -1. */
    spots: number[]
    routes: Route[], box: [number, number]
  }
  /** A plane that modules are mounted on; angles in degrees, the height of its lower edge in m. */
  interface Surface { letter: string, name: string, box: [number, number, number, number], tilt: number, azimuth: number, height: number }
  /** The cables of a string: where leads leave each module (minus x, y, plus x, y), runs to
   * the box, and extensions: after which module of the string, from 0, and their ends. */
  interface Route { through: number[][], minus: number[], plus: number[], extensions: [after: number, line: number[]][] }

  /** A place of a surface, and what is mounted on it: a module of a string, one in no string, or nothing. */
  interface Spot extends Box {
    index: number, at: [surface: number, row: number, place: number], name: string
    module: Module | null, spare: { shape: Shape } | null
  }
  /** A mounted roof: its spots, also row by row, and its cables. */
  interface Mounted { spots: Spot[], rows: Spot[][], surfaces: Surface[], routes: Route[], box: Point, whole: Box }

  /** What the tool for mounting and wiring does: which tool, to how much; the string in hand, and what it was drawn through. */
  interface Wire {
    tool: "string" | "turn" | "put" | "take", scope: "one" | "row" | "string", string: number, drawn: number[]
    strings: number, order: string, side: boolean
  }

  /** A module where it lies; `cell` and `diode` are its first ones, counted over the array. */
  interface Module extends Box {
    index: number, string: number, number: number, shape: Shape, row: number
    cell: number, cells: number, diode: number, diodes: number
  }

  interface Plan {
    scene: Scene, modules: Module[], rows: Module[][], cells: number, diodes: number, box: Box, mounted: Mounted | null
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
    /** What was measured: the last reading at each part and whether the bench was changed since, the last of all with
     * its place, and where a cloth lies. */
    read?: [place: Place, text: string, outdated: boolean][], latest: string, cloth?: Place
    /** Whether a hidden fault is being searched for. */
    seeking: boolean
    scene: number, level: Level, focus: Place, quantity: Quantity, condition: string, handed: number, theme: Theme
    locked: boolean, fresh: boolean, kept_back: boolean, readout: string
    /** Of a mounted array: what its cables come to; and how far a search for shorter ones is, "" while none runs. */
    cables: string, searching: string, section: number
    /** The cables of another wiring of the same roof, which this one is compared with. */
    earlier: Route[]
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
    /** Shadows at the moment of a day that is shown: corners in mm, x and y in turn. */
    day?: number[][]
    detail?: Detail | null
    cell?: Cell | null
  }

  /** The cell in focus as a circuit: its currents in A, its voltages in V; null for branches that it does not have. */
  interface Cell {
    title: string, light: string, summary: string, does: "gives" | "eats" | "idles", condition: "good" | "open" | "short"
    power: number, current: number, voltage: number, junction: number
    source: number, diode: number, second_diode: number | null, shunt: number, shunt_ohm: number, breakdown: number | null
    added_shunt: number, added_shunt_ohm: number | null, series: number, added_series: number
  }

  /** The currents of the module in focus, and what its diodes do. */
  interface Detail {
    module: number
    current: number[]
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
    | { do: "field" }
    | { do: "measure", name: string, place: string }
    | { do: "apply", place: string }
    | { do: "shadow-add", kind: string, x: number, y: number }
    | { do: "shadow-remove", index: number }
    | { do: "free" }
    | { do: "string", number: number, spots: Spot["at"][], stroke?: number }
    | { do: "turn" | "put" | "take", spots: Spot["at"][], stroke?: number }
    | { do: "usual", name: string, strings: number, rows: number, columns: number }
    | { do: "box", x: number, y: number, stroke?: number }
    | { do: "section", section: number }
    | { do: "shortest", strings: number }
    | { do: "stop-search" }

  /** To shade or mend cells or modules, by their numbers over the array; what a stroke does is one step to undo. */
  interface BrushWish { do: "paint" | "mend", of?: "cell" | "module", at: number[], to?: number, stroke?: number }
  interface ShadowWish extends Partial<Omit<Shadow, "kind" | "name">> { do: "shadow", index: number, stroke?: number }

  /** `drawn` is the number that a string drawn by hand has then; 0 where it was refused. */
  interface Answer { answered?: number, address?: string, typed?: string, place?: string, drawn?: number }

  interface Camera { scale: number, x: number, y: number }
  interface Traveller {
    readonly now: Camera | null
    go(target: Camera, milliseconds: number): void
    finish(): void
    halt(): void
  }

  /** What is pointed at: a part by its place, or a lead of it; its key is the way people write it. */
  interface Target { key: string, place: Place, lead: "" | "minus" | "plus" }
  /** Something to go to by keys: where it is seen, in px, and what it is. */
  interface Item extends Target { kind: string, box: Box, element: SVGElement, label(): string, spot?: Spot }

  /** A substring at the junction box, in px: its ends, those on the rail, and its diode between them. */
  interface RailPart {
    a: [number, number], b: [number, number], A: [number, number], B: [number, number], middle: [number, number], angle: number, diode: boolean
  }

  /** The rail of a junction box, in px: the way it lies, its parts, its ends, the module around it. */
  interface Rail {
    side: Shape["rail"], upright: boolean, inner: boolean, at: number, parts: RailPart[]
    minus: [number, number], plus: [number, number], first: [number, number], last: [number, number]
    box: { left: number, top: number, right: number, bottom: number }
  }
  /** The junction box as it is drawn: what can be focused, and its leads. */
  interface Junction { items: Item[], rail: { upright: boolean }, leads?: Cable[] }
  /** Ribbons of a module, and by substring and chain the paths of the current in them. */
  interface Ribbons { group: SVGGElement, flows: SVGPathElement[][] }
  /** The figure in a cell: where it stands, in px, how far it can go down, how it is dressed. */
  interface ValueText { text: SVGTextElement, number: SVGTextElement | null, x: number, y: number, room: number, worn: string, ink: string }
  /** The figures of a module, by its cells from 0, in type of such a size. */
  interface Values { font: number, cells: Map<number, ValueText> }

  /** A cable as it is drawn: the key of its part, and its straight pieces in px. */
  interface Cable { key: string, lines: [number, number, number, number][], element?: SVGElement }

  /** A module's elements; those of its cells only while they are drawn. */
  interface Tile {
    module: Module, group: SVGGElement, tile: SVGElement | null, hatch: SVGElement | null, overlay: SVGElement | null
    cells: SVGElement[] | null, rows: SVGElement[] | null, colour: Int16Array | null
    marks: Map<number, { key: string, group: SVGElement }>
    /** What holds its cells; and what of it has names for keys, null where that is all of it. */
    box?: SVGElement | null, named?: Part | null
    /** By shade, whether dark ink is read on it; and of which scale and theme the colours are. */
    darkInk?: boolean[], painted?: string
  }

  /** The module that is seen from near. */
  interface Active {
    module: Module, tile: Tile, ribbons: Ribbons, texts: Values | null, rail?: Junction
  }

  /** A press of the pointer: where it began, and where it is. */
  interface Press { pointer: number, last: Seen, start: Seen, target: Target, moved: boolean }
  /** One that looks at a part, or applies the tool to it when it is lifted. */
  interface Tap extends Press { kind: "tap" | "look", aimed: Target | null }
  /** What shades or mends all it meets; without a press where a key began it. */
  interface Brushing extends Partial<Press> {
    kind: "paint" | "mend", id: number, of: "cell" | "module", to: number, done: Set<number>
  }
  /** A string being drawn, modules being turned, put down or taken away, the box being moved. */
  interface Wiring { kind: "wire", pointer?: number, last: Seen, id: number, met: Spot[], fresh: boolean, box?: Point }
  type Stroke = Tap | Brushing | Wiring

  /** The handle of a shadow that is dragged, and the shadow as it was. */
  interface Grip { name: string, start: Seen, from: Shadow, id: number }
  interface ShadowEdit { index: number, values: Partial<Shadow>, held: boolean, grip?: Grip }

  /** A kind of fault, in words, and where it can be. */
  interface Kind {
    title: string, scope: string, scopes: string[], group: string
    /** Of a fault with a size: in which unit, how large usually and at most. */
    unit: string, size: number | null, size_name: string, least: number, most: number
  }

  /** Of mounting and wiring. */
  type WireWords = Record<
    | "free" | "free_hint" | "caution" | "tools" | "how_much" | "put_hint" | "which_string" | "new_string" | "draw_string" | "all_strings" | "order"
    | "stop" | "shortest" | "wire_so" | "strings" | "strings_title" | "box" | "box_keys"
    | "box_x" | "box_y" | "section" | "side" | "side_foot" | "side_text" | "empty" | "taken" | "in_hand" | "spot_free" | "spot_spare"
    | "spot_module" | "row" | "grid" | "drawn",
    string> & { tool: Record<string, string>, scope: Record<string, string>, orders: Record<string, string>, sections: number[] }

  /** Texts of the drawing; see roof_words.py. */
  interface Words {
    kinds: Record<string, Kind>
    groups: { scope: string, title: string, first: string, sets: { title: string, kinds: [condition: string, short: string, meaning: string][] }[] }[]
    levels: Record<Level, string>
    shadows: [string, string][]
    string_grid: string, array_grid: string, string_row: string, module_grid: string, row: string
    cell: string, module: string, string: string, diode: string, minus: string, plus: string
    one_diode: string, many_diodes: string, conducts: string, runs_back: string, blocks: string
    broken_diodes: Record<string, string>, said: Record<"shaded" | "eats" | "bypassed" | "some_eat", string>
    read: Record<Level | "diode", string>, measured: string, measured_before: string
    circuit: Record<string, string>
    junction: string, junction_row: string, reversed: string, box: string
    path: string, address: string, address_hint: string, go: string
    roof: string, tools: string, more_tools: string, trays: Record<Tray, string>
    /** Instruments: what a press says, what each is called, and in which group. */
    probes: [name: string, title: string, group: string][], probe: string, measure_hint: string, measure_hint_touch: string
    look_hint: string, look_hint_touch: string, mend_hint: Record<"module" | "cell", string>, mend_all: string
    light_to: Record<"module" | "cell", string>, units: Record<"module" | "cell", string>, other_share: string, clear: string
    what_breaks: string, modules: string, on_roof: string, add: string, add_shadow: string, remove: string, shadow_keys: string
    fields: Record<ShadowField, string>, needs_number: string, quantity: string, quantities: [Quantity, string][], tracker: string
    choose_fault: string, go_nearer: string, cannot_shade: string
    band_at: string, shadow_at: string, resize: string, turn: string
    /** What to do first, by tool; what to beware of, by kind of fault; a number's bounds; marks and their meaning. */
    wire: WireWords
    first_hint: Record<string, string>, cautions: Record<string, string>, needs_whole: string, marks: [string, string][]
  }

  type ShadowField = "x" | "y" | "width" | "height" | "angle" | "through"
  /** The tools above the drawing, and what the one in hand offers. */
  interface Palette {
    bar: HTMLElement, hand: HTMLElement, options: HTMLElement, trays: Partial<Record<Tray, HTMLElement>>
    words: Words, act: Tools, key: string, sizes: Record<string, number>
    fields: Partial<Record<ShadowField, HTMLInputElement>> | null
    /** The line below the drawing, and what stands on the drawing. */
    word: Word, tip: HTMLElement
    /** The last reading, beside the instruments. */
    latest?: HTMLElement
  }
  /** The line below the drawing: marks, fields, what to beware of, what to do, what was wrong. */
  interface Word { line: HTMLElement, marks: HTMLElement, fields: HTMLElement, caution: HTMLElement, hint: HTMLElement, wrong: HTMLElement | null }
  interface Legend { buttons: Partial<Record<Quantity, HTMLButtonElement>>, ramp: HTMLElement, ticks: HTMLElement, last: string }

  /** What the palette asks for. */
  interface Tools {
    tray(name: Tray): void
    probe(name: string): void
    condition(condition: string): void
    scope(scope: string): void
    mendAll(): void
    addShadow(kind: string): void
    removeShadow(): void
    chooseShadow(index: number): void
    shadowField(name: "x" | "y" | "width" | "height" | "angle" | "through", value: number): void
    shadowKey(event: KeyboardEvent): boolean
    /** Of mounting and wiring. */
    wire(change: Partial<Wire>): void
    say(wish: Wish): void
    boxKey(event: KeyboardEvent): boolean
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
    level: Level, focus: Place, quantity: Quantity, condition: string, handed?: number, seeking?: boolean, theme: Theme
    tray: Tray, probe: string, scope: string, hint: string, chosenShadow: number, newShadow: number, wire: Wire
    /** Of a cell, by index over the array. */
    value: (cell: number) => number, flags: (cell: number) => number, known: (module: Module) => boolean
    broken: Map<number, string[]>
    /** What was asked for and is not yet confirmed. */
    wanted: { level?: Level, focus?: Place, quantity?: Quantity, condition?: string }
    /** The share of its light that paint leaves a cell: as known, and not yet confirmed. */
    painted: Map<number, number>, pending: Map<number, number>
    tiles: { groups: Tile[], plan: Plan, whole: boolean }, active: Active | null
    /** Where the things to go to by keys are seen from afar, by key. */
    boxes: Map<string, Box>
    rows: Item[][], current: Item | null, cursor: string, cursorAt: string, cables?: Cable[]
    stroke: Stroke | null, strokes: number, shadowEdit: ShadowEdit | null
    due?: boolean, arrived?: boolean, resizing?: boolean, moving: number, keysStroke: number, keysRest?: number
    /** What is under the pointer, and what the tool would hit there. */
    pointed: Target | null, aimed: Target | null, wiringKey: string, railKey: string
    calm: MediaQueryList
    outbox: Outbox.Outbox<Wish>, traveller: Traveller
    address: { answer(found: Answer): void, clear(): void }
    root: HTMLElement, stage: HTMLElement, image: SVGSVGElement, world: SVGElement
    crumbs: HTMLElement & { key?: string }, also: HTMLElement, readout: HTMLElement, spoken: HTMLElement
    layers: Record<string, SVGElement & { key?: string | null }>, rings: Record<string, SVGElement>
    palette: Palette, legend: Legend
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

/** The curves: what the server sends them (pvsim/app/curves/picture.py, words.py), and what they make of that. */
declare namespace Curves {
  type Kind = "current" | "power" | "difference"
  type Quantity = "current" | "power"
  type Span = [low: number, high: number]
  type Box = Labels.Box
  interface Font { family: string, weight: number, k: number, size: number }
  /** A text and what it is: "sub" is an index. */
  type Words = [text: string, kind: string][]
  interface Label {
    x: number, y: number, parts: Words
    prefer?: number[], must?: boolean, far?: boolean, near?: boolean
  }

  /** A point held, in V, A and W. */
  interface Point { V: number, I: number, P: number }
  /** A point and a label of one figure in its values; see Point and Label in pvsim/files/figure/model.py. */
  type Dot = [x: number, y: number, radius: number, hollow: boolean]
  interface Told {
    x: number, y: number, text: string, role: string, prefer: number[]
    symbol?: [symbol: string, index: string], must?: boolean, alone?: boolean
  }
  interface Named { points: Dot[], labels: Told[] }

  interface KeyFigure {
    key: string, symbol: [string, string?], name: string, unit: string, sign: number
    now: string, before?: string, change?: string, percent?: string
  }
  interface Row { label: string, short: string, from: number, to: number, colour: string }
  /** How a curve is built from those of its parts, cut at the cursor. */
  interface Parts {
    kind: "series" | "parallel", at: number, least: number, most: number, rows: Row[], total: number, totalLabel: string
    title: string, spoken: string, stage: string, stages: Choice[]
  }
  interface PointTable { caption: string, groups: [name: string, span: number][], columns: string[], rows: { name: string, cells: string[] }[], words?: boolean }
  interface Choice { key: string, label: string, title?: string }
  /** What can be set by slider and field; of the array it has modes. */
  interface Control {
    least: number, most: number, step: number, value: number, number: string, unit: string, label: string
    modes?: Choice[], kind: string, short: string
    text: string, lead: string, of: string, where: string, more: string
  }

  interface Shown {
    level: string, levels: Choice[], view: "curves" | "difference" | "parts" | "table", quantity: Quantity
    figures: Kind[], axes: { V: Span, I: Span, P: Span, D: Span }
    reverse: boolean, fitted: boolean, offer: boolean, compared: boolean
    titles: Record<Kind, string>
    /** In their place where two would run into one another. */
    brief: Record<Quantity, string>
    named: Partial<Record<Kind, Named>>, held: Point[]
    load: { kind: "voltage" | "current" | "load", value: number } | null
    difference: { quantity: Quantity, factor: string, magnified?: boolean }
    parts: Parts | null, partsNote: string, tables: PointTable[], notice: { said: string, figure: string, large: boolean } | null, control: Control
    key: KeyFigure[], keyCompared: boolean, caption: string
  }
  type DeskWords = Record<
    | "level" | "view" | "quantity" | "stages" | "magnified" | "held" | "sum" | "sum_part" | "sum_from" | "sum_to" | "reverse"
    | "reverse_title" | "fit" | "fit_title" | "fitted_title" | "voltage_axis" | "now" | "before" | "change" | "percent" | "row",
    string> & { views: Choice[], quantities: Choice[] }
  /** Of BokehJS's models. */
  interface Ids { figures: Partial<Record<Kind, string>>, sources: Partial<Record<"now" | "before" | "difference", string>> }

  /** What labels keep off, each as points a few px apart: curves and axes, and what leads to an axis. */
  interface Lines { whole: number[][][], guides: number[][][] }
  /** A curve in px of its frame, each point with its values. */
  type Line = [x: number, y: number, V: number, Y: number][]
  interface Frame extends Box {
    toX(value: number): number, toY(value: number): number, fromX(px: number): number, fromY(px: number): number
  }
  /** Which figures are seen, from the top, and where. */
  interface Sight { visible: Kind[], frames: Partial<Record<Kind, Frame>>, twin: boolean, font: Font, ledger: { y: number, height: number } }
  /** What the pointer has moved and the server not yet confirmed. */
  interface Drag { held: boolean, point?: { V: number, I: number }, cursor?: number }
  /** All that is to be drawn; `held` and `parts` are as the pointer has them, and what it moves has no label yet. */
  interface Scene extends Sight {
    shown: Shown, words: DeskWords
    curves: Partial<Record<Kind, Line>>, befores: Partial<Record<Kind, Line>>
    held: Point[], parts: Parts | null, moved: boolean
  }

  /** One of the five levels: how much of its power there was and is, in percent of the track. */
  interface Rung {
    level: string, label: string, place: string, now: string, before: string, change: string, percent: string, short: string
    was: number, end: number, beyond: number, sign: number
  }
  interface Ladder { level: string, measure: string, compared: boolean, changed: boolean, zero: number, rows: Rung[] }
  interface LadderWords {
    title: string, caption: string, measure: string, measures: (Choice & { title: string })[], columns: string[], show: string, first: string, last: string
  }
  interface LadderModel extends Outbox.Model<Outbox.Wish> { shown: Ladder, words: LadderWords, opened: boolean }

  /** The component and its view, as Panel gives them to a script. */
  interface Model extends Outbox.Model<Outbox.Wish> {
    shown: Shown, ids: Ids, words: DeskWords
    get_child(name: Kind): Node
  }
  interface View {
    model: { document: { get_model_by_id(id: string): any } | null }
    on_child_render(name: Kind, run: () => void): void
    render_children(): void
  }
}

/** A lecture: what its sheets hold (lecture/page.py), and the answers of a class on them (lecture/chart.py). */
declare namespace Lecture {
  type Words = Record<string, string>
  interface Round { name: string, people: string, counts: number[], total: number, below: number, above: number }
  interface Table { head: string[], rows: string[][] }
  interface Bars { rounds: Round[], most: number, table: Table }
  interface Choices extends Bars { kind: "choice" }
  interface Numbers extends Bars {
    kind: "number", edges: number[], ticks: string[], unit: string
    /** Once the outcome may be seen. */
    band?: { from: number, to: number, truth: number, text: string } | null
  }

  /** What can be pressed in the foot, each with its keys. */
  interface Key { act: string, keys: string[], label: string, title: string, able: boolean, pressed: boolean | null }
  /** A class that phones can join: an empty one while none is open. */
  interface Room { code?: string, address: string, count: string, path: string, dots: number, far: string, seen: string[] }
  /** The field for raised hands. */
  type Hands = { text: string, hint: string, wrong: string } &
    ({ kind: "choice", counts: number[], letters: string[] } | { kind: "number", unit: string })

  interface Ready {
    kind: "ready", key: string, layout: "text", title: string, minutes: string, letters: boolean, played: boolean, phones: string
    parts: { title: string, steps: string[], minutes: string }[]
    keys_list: [marks: string[], meaning: string][]
  }
  interface Cue {
    kind: "cue", key: string, layout: "text" | "bench", mode: "live" | "rehearsal" | "replay"
    moment: "opening" | "ask" | "act" | "look" | "explain" | "closing"
    label: string, lesson: string, step_title: string, number: string, hint: string, away: string, entry: string
    at: number, cues: number, names: string[], planned_s: number, from_s: number, due_s: number
    room: Room, buttons: Key[], html: string
    /** Of some moments alone. */
    question?: string, lead?: string, lock?: string, counted?: string, hands?: Hands
    choices?: { letter: string, html: string, right: boolean }[]
    chart?: Choices | Numbers | null, small?: boolean
    cautions?: string[], done?: boolean, locked?: boolean, status?: string, may_do?: boolean, seek?: boolean
    answer?: string, feedback?: string, foreseen?: string, idea?: string, idea_of?: string, idea_html?: string
    list?: string[], list_title?: string
  }
  type Sheet = Ready | Cue

  interface Model extends Outbox.Model<Outbox.Wish> {
    /** An empty one, which is of no kind, while no lecture is held. */
    page: Sheet | { kind: "", layout: "" }
    words: Words, letters: boolean, said: string, kept: string, began_s: number
  }
  /** What answers a press: perhaps a file to keep, perhaps where the notes lie. */
  interface Answer { file?: string, mime?: string, text?: string, notes?: string, results?: Results }
  /** What came of the questions (lecture/results_page.py). */
  interface ResultRound { share: string, of: string, answers: [letter: string, times: number, right: boolean][] }
  interface Results {
    title: string, invented: boolean, head: string[], none: string, about: string
    rows: { lesson: string, step: string, question: string, letter: string, right: string, rounds: ResultRound[], gain: string }[]
  }

  /** What a sheet can do: say something to the server at once, or as a press that a dark screen takes first. */
  interface Hand {
    words: Words, root: HTMLElement
    /** Ends the lecture; the same one on every sheet, as its first press counts although the sheet is drawn anew. */
    leave: HTMLElement
    send(act: string, value?: unknown): void
    press(act: string, value?: unknown): void
  }
}

/** The course as its region shows it (lesson/page.py, lesson/contents.py). Whatever is called `html` is safe. */
declare namespace Lesson {
  type Words = Record<string, string>
  interface Term { term: string, meaning: string, language: string }
  interface GlossaryTerm extends Term { id: string, source: string, see: { id: string, html: string }[] }
  interface Trouble { title: string, more: string, problems: { where: string, wrong: string, expected: string, mend: string }[] }

  interface Entry {
    slug: string, title: string
    /** Of those that can be opened. */
    number?: string, question?: string, minutes?: string, language?: string, untranslated?: string
    state?: { name: string, text: string }
    /** Of those that cannot. */
    note?: string
  }
  interface Tracks { title: string, chosen: string, options: { id: string, title: string, lead: string }[] }

  interface Drawn { key: string, title: string, trouble?: Trouble[], live?: boolean }
  interface Contents extends Drawn {
    kind: "contents", lead: string, go_on: { title: string, step: string } | null, tracks: Tracks | null, lessons: Entry[]
    closing: { text: string, state: { name: string, text: string } } | null
    search: string, glossary: string, begun: boolean, wrong: string, lecture: { wrong: string, lessons: [slug: string, title: string][] }
  }
  interface Glossary extends Drawn { kind: "glossary", lead: string, terms: GlossaryTerm[] }

  /** What every page of a lesson has. */
  interface Leaf extends Drawn {
    slug: string, language: string, track: string, count: string, back: string, next: string
    dots: { page: number, text: string, title: string, state: string, here: boolean }[]
  }
  interface Opening extends Leaf { kind: "opening", question: string, minutes: string, html: string, objectives: string[] }
  interface Closing extends Leaf {
    kind: "closing", html: string, objectives: string[], limits: string[], sources: string[]
    results: { title: string, mark: { name: string, text: string } }[], results_title: string, results_note: string
  }
  interface Step extends Leaf {
    kind: "step", label: string, step_title: string, transfer: boolean, lead: string, parts: Phase[], phase: string
    restart: boolean, away: string, next_ready: boolean
  }

  /** Of the closing test; a question has a verdict, and anything of its key, once it is answered. */
  interface TestLeaf extends Leaf { kind: "closing-test", next_ready: boolean }
  interface Revisited { slug: string, title: string, ideas: string[] }
  interface ClosingOpening extends TestLeaf { stage: "opening", lead: string, note: string, aid: string, lists: Revisited[], paper: ClosingPaper }
  interface ClosingPaper { title: string, note: string, test: string, solution: string }
  interface ClosingQuestion extends TestLeaf {
    stage: "question", from: string, part: ClosingAsking | null, verdict: Reckoning | null, verdict_label: string, solution: string, gone: string
  }
  interface ClosingResult extends TestLeaf {
    stage: "result", total: string, results: { title: string, mark: { name: string, text: string } }[], results_title: string
    note: string, lists: Revisited[], empty: string, anew: string
  }
  type ClosingTest = ClosingOpening | ClosingQuestion | ClosingResult

  interface ClosingMaking extends Drawn { kind: "closing-making", lead: string }

  type Turning = Opening | Step | Closing | ClosingTest
  type Page = Contents | Glossary | ClosingMaking | Turning

  interface ChoiceQuestion { kind: "choice", choices: string[], chosen: number | null }
  interface NumberQuestion { kind: "number", unit: string, given: string }
  interface Verdict { right: boolean, mark: string, idea: string, html: string }
  interface Reckoning extends Verdict { said_label: string, said: string, found_label: string, found: string }
  interface Shown { label: string, html: string, where_label: string, where: string[] }

  /** One phase of a step; one that waits has its hint and nothing else. */
  interface Part { label: string, order: number, state: "waiting" | "open" | "done", hint: string, html: string }
  interface Predict extends Part { name: "predict", question: ChoiceQuestion | NumberQuestion, wrong: string, lock: string }
  interface Doing extends Part {
    name: "act", cautions: string[], done: boolean, status: string, reason: string, control: { panel: string, wish: string, text: string }
  }
  interface Observe extends Part {
    name: "observe", question: ChoiceQuestion | NumberQuestion, wrong: string
    settled: boolean, verdict: Verdict | null, may_skip: boolean, shown?: Shown
  }
  interface Explain extends Part { name: "explain", prediction: Reckoning | null }
  interface ClosingAsking extends Part { name: "closing", question: ChoiceQuestion | NumberQuestion, wrong: string }
  type Asking = Predict | Observe | ClosingAsking
  type Phase = Predict | Doing | Observe | Explain

  interface Model extends Outbox.Model<Outbox.Wish> {
    /** An empty one, which is of no kind, until there is a course. */
    page: Page | { kind: "" }
    words: Words, terms: Record<string, Term>, workbook: string, said: string
  }

  /** Gives back what was drawn under a name, or draws it anew where its values are others. */
  type Keep = <T>(name: string, values: T, draw: (values: T) => HTMLElement) => HTMLElement

  /** What a page can do: say something to the server, keep parts of itself, look at what the browser keeps. */
  interface Sheet {
    words: Words, keep: Keep
    send(act: string, value?: unknown): void
    kept: { text(): string, aside(): string }
    /** All that was done, here and on the server. */
    forget(): void
    /** By phase, what was typed last: it stays to be mended when it cannot be read. */
    refused: Map<string, string>
  }
}

/** The page as a whole (shell/frame.py) and its status line (shell/status.py). */
declare namespace Shell {
  type Ask = (what: string, value?: unknown) => void
  interface Frame extends Outbox.Model<Outbox.Wish> {
    looks: { theme: string, large: boolean, keys: boolean }
    /** What is shown: a step of the browser's history; regions that are covered, apart by spaces. */
    shown: object, hides: string
    title: string, session: string, words: { lost: string, again: string, back: string }
    model?: { document: unknown }
    /** What came later: the day on the roof, the field desk. */
    day: unknown, field: unknown
    get_child(name: string): Node
  }
  /** The component's view, as Panel gives it to a script. */
  interface View { on_child_render(name: string, run: () => void): void, render_children(): void }
  interface Answer { address?: string, bench?: string, shown?: boolean, sheet?: Sheet.Answer, traced?: Traced.Answer }
  interface Status extends Outbox.Model<Outbox.Wish> {
    said: string, notice: string, words: { dismiss: string, more: string, long: string, short: string }
  }
}

/** A day on the roof (pvsim/app/day): how it is set up, its curves, what is known of it. */
declare namespace Day {
  type Name = "open" | "shaded" | "power" | "followed"
  interface Field { field: string, label: string, unit: string, value: string }
  interface Thing { kind: string, title: string, fields: Field[] }
  /** In m on the drawing: left, top, right, bottom of each surface; corners of each thing, x and y in turn. */
  interface Plan { roofs: number[][], things: number[][] }
  interface Form { place: string, places: [value: string, label: string][], fields: Field[], date: string, things: Thing[], roof: string, plan: Plan }
  interface Lines { hour: number[], clock: string[], azimuth: number[], elevation: number[], powers: Record<Name, (number | null)[]> }
  type Stage = "none" | "computing" | "done" | "stale" | "failed" | "barred"
  interface Now {
    open: boolean, barred: string, stage: Stage, share: number, told: string, when: string, said: string
    rows: [name: string, title: string, kWh: string, less: string, percent: string][]
    /** The time that the roof is shown at, from 0. */
    at: number | null
  }
  type Words = Record<string, string> & {
    tabs: [value: string, label: string][], add_what: [kind: string, label: string][], lines: Record<Name, string>, columns: string[]
  }
  interface Model extends Outbox.Model<Outbox.Wish> { form: Form, now: Now, lines: Lines, wrong: Record<string, string>, words: Words }
  interface Answer { file?: string, mime?: string, text?: string, base64?: string }
  interface FieldElement { input: HTMLInputElement, wrong: HTMLElement }
  interface Clock { now(): number, set(run: () => void, ms: number): unknown, clear(timer: any): void }
  /** Where the picture's axes lie, in px. */
  interface Frame { left: number, top: number, width: number, height: number }
}

/** The field desk: what can be done on the roof and what it read (pvsim/app/field). */
declare namespace Field {
  interface Press { name: string, title: string, minutes: string }
  /** An instrument, where it goes now, and why it cannot; over a run of modules the first and the most there are. */
  interface Tool extends Press { at: string, off: string, first?: number, most?: number }
  /** Ranges that the meter of a group can be set to; "0" where it chooses. */
  interface Range { meter: string, title: string, options: [value: string, label: string][], value: string }
  interface Now {
    open: boolean, tab: string, barred: string, gone: boolean, elsewhere: boolean, busy: boolean, place: string, level: Roof.Level, minutes: string, caution: string, altered: string, meters: number
    search: Search | Record<string, never>
    /** For the tab to keep: what was done in the search. */
    kept: string
    /** What to practise next, and for the browser to keep: what was practised. */
    practice: { level: string, family: string, reason: string }, pasts: string
    /** Searches of the course, by family, with what was done of each. */
    practised: { title: string, searches: SetSearch[] }[]
    plant: { title: string, now: string, acts: Press[] }[]
    kit: { title: string, tools: Tool[], range: Range | Record<string, never> }[]
  }
  interface SetSearch { seed: string, level: string, family: string, text: string, state: "" | "found" | "missed", said: string }
  /** One byte a pixel, row by row, from the coldest to the warmest. */
  interface Picture { shades: string, rows: number, columns: number, least: number, most: number, where: string, said: string, about: string }
  /** A traced curve: its points as SVG, and whether it may be laid over the model. */
  interface Curve { figure: string, where: string, said: string, about: string, comparable: boolean }
  /** Kinds by family: what an answer says, its title, and the place in view as finely as it is asked for. */
  interface Search {
    title: string, about: string, noted: string, say_hint: string, on_bench: boolean, as_seen: boolean, over: boolean, answers: number, hint: string, leave: string
    kinds: [family: string, kinds: [kind: string, title: string, place: string][]][]
  }
  /** By level, its title and the families that it hides. */
  interface Start { most: number, levels: [value: string, title: string, families: string[]][], families: [value: string, title: string][] }
  type Found = [label: string, value: string, doubt: string]
  interface Line { minute: string, what: string, where: string, found: Found[], range: string, set: boolean, note: string, changed: string, refused: string, unsafe: boolean, said: string }
  interface Debrief {
    head: string, solved: boolean, working: boolean, failed: string, rows: [label: string, text: string][], best: string[]
    lines: { minute: string, what: string, told: string, share: number, then: string, better: string }[]
    votes: Votes | Record<string, never>
  }
  /** How a class voted: sentences, and for each vote what was done against the best that was offered; shares are for bars. */
  interface Votes { lead: string[], head: string[], rows: VoteRow[] }
  interface VoteRow { done: string, done_rate: string, done_share: number, told: string, best: string, best_rate: string, best_share: number, voted: string }
  /** A class that votes on what is read next (field/room_rows.py): an open one, what it is asked, what was done last. */
  interface Choice { letter: string, text: string, minutes: string, votes: number, share: number, percent: string }
  interface Vote { asking: boolean, count: string, most: number, tied: boolean, choices: Choice[] }
  interface Voted { letter: string, text: string, wanted: string, found: Found[], refused: string, unsafe: boolean, number: number }
  interface Room {
    open: boolean, code: string, address: string, dots: number, path: string, far: string, own: boolean, over: boolean, working: boolean
    vote: Vote | Record<string, never>, last: Voted | Record<string, never>
  }
  type Words = Record<string, string> & { columns: string[], tabs: [value: string, label: string][], levels: [value: Roof.Level, label: string][] }
  interface Model extends Outbox.Model<Outbox.Wish> { now: Now, log: { lines?: Line[] }, picture: Picture | Record<string, never>, curve: Curve | Record<string, never>, debrief: Debrief | Record<string, never>, room: Room | Record<string, never>, start: Start, wrong: Record<string, string>, words: Words }
  interface Answer { file?: string, curve?: string, mime?: string, text?: string }
  type Say = (what: string, value?: unknown) => void
}

/** Pages of their own beside the bench: a class on its phones (room/phone.py), a lecturer's notes (room/notes.py). */
declare namespace Room {
  type PhoneWords = Record<string, string>
  type NotesWords = Record<string, string> & { moments: Record<string, string> }
  interface Poll { id: number, round: number, asking: boolean, vote?: boolean, question: string, kind: "choice" | "number", choices: string[], unit?: string }
  /** What was asked: a question, and which round of it. */
  interface Asked { poll: number, round: number }
  /** An answer: the number of a choice, or what was typed. */
  interface Way extends Asked { value: number | string }
  /** One that is on disk, as it was typed. */
  interface Kept extends Way { typed: number | string }
  interface Notes {
    open: boolean, title: string, lesson: string, step: string, moment: string, notes: string, next: string, next_notes: string
    round: number, answers: string, asking: boolean, started: number | null, planned_minutes: number
  }
}

/** The top bar as the server lays it out (bar_layout.py), what it shows (bar_values.py), what it makes of that. */
declare namespace Bar {
  type Option = [value: string, label: string, note?: string]
  interface NoteSpec { kind: "note", id: string, text: string, title?: boolean, said?: boolean }
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
  /** Opens a dialog elsewhere on the page, which hears the event. */
  interface OpensSpec { kind: "opens", id: string, label: string, event: string }
  type Spec = NoteSpec | RuleSpec | NumberSpec | OptionsSpec | SelectSpec | LanguagesSpec | ActSpec | FileSpec | LinkSpec | OpensSpec

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
    answered?: number, close?: boolean, print?: boolean
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

/** A data sheet typed in the page: what is sent to its dialog (pvsim/app/sheet), and what it makes of that. */
declare namespace Sheet {
  type Words = Record<string, string>
  interface TextSpec { kind: "text", id: string, label: string, needed: boolean }
  interface NumberSpec {
    kind: "number", id: string, label: string, unit: string, units: string[], units_label: string, hint: string, needed: boolean, signed: boolean
  }
  interface ChoiceSpec { kind: "choice", id: string, label: string, options: [string, string][] }
  type Spec = TextSpec | NumberSpec | ChoiceSpec
  interface Group { id: string, title: string, note: string, mark: string, fields: Spec[] }
  type Span = [least: string, usual: string, most: string]
  /** By choice, what is chosen in it, and field: where its value lies. */
  type Ranges = Record<string, Record<string, Record<string, Span>>>
  interface Form { groups: Group[], ranges: Ranges, examples: [string, string][] }
  /** Text by field. */
  type Values = Record<string, string>
  interface Problem { field: string, beside: string[], text: string }

  interface Field {
    row: HTMLElement
    /** What is typed into first. */
    input: HTMLInputElement | HTMLSelectElement
    read(): Values
    set(values: Values): void
    hint?(text: string): void
    wrong(text: string, by: string): void
  }

  interface Mark { at: number, read: string, label: string, kind: "found" | "assumed" }
  interface Band { from: number, to: number, label: string }
  interface Scale { title: string, most: number, unit: string, bands: Band[], marks: Mark[] }
  interface Table { caption: string, head: string[], rows: string[][], marked: number[] }
  interface Way {
    name: string, title: string, text: string, verdict: string, told: string, good: boolean, reaches: boolean
    shape: Roof.Shape, boxes: [number, number][]
  }
  interface Ways { legend: string, chosen: string, ways: Way[] }
  interface Finding { bearing: "allowed" | "excluded" | "open" | "doubt", mark: string, text: string }
  interface Step {
    id: string, question: string, findings: Finding[]
    scale?: Scale, ways?: Ways, table?: Table, note?: string, caution?: string
  }
  interface Outcome { steps: Step[], module: string }
  interface Use { now: string, strings: string, modules: string }

  interface Dialog { style: string, words: Words, form: Form, values: Values, most: number }
  interface Answer {
    dialog?: Dialog, use?: Use, values?: Values, outcome?: Outcome, problems?: Problem[]
    told?: string, taken?: string, used?: boolean, file?: string, text?: string, mime?: string
  }
  type Say = (act: string, value?: unknown) => void
}

/** A measured curve in the page: what is sent to its dialog (pvsim/app/traced), and what it makes of that. */
declare namespace Traced {
  type Words = Record<string, string>
  type Option = [value: string, label: string]
  interface Column { name: string, quantity: string, unit: string, sure: boolean, unused: boolean }
  interface Found {
    name: string, facts: [name: string, text: string][], columns: Column[], rows: string[][]
    sign: string, broken: number, leave_out: boolean, ready: boolean
  }
  /** What a person has made of the columns. */
  interface Mapped { columns: { quantity: string, unit: string }[], sign: string, leave_out: boolean }
  interface Bench { parts: Option[], part: string, to_irradiance: string, to_temperature: string }
  interface Conditions { irradiance: string, temperature: string }
  interface Problem { field: string, text: string }

  interface Table { caption: string, head: string[], rows: string[][], note?: string }
  interface Shape {
    title: string, size: string, threshold: string, named: boolean, verdict: string, evidence: string, sentence: string
  }
  interface Shapes { caption: string, said: string, head: string[], rows: Shape[] }
  interface Laid {
    said: string, doubt: string, figure: string, legend: [role: string, text: string][]
    points: Table, figures: Table, correction: Table | null, shapes: Shapes
  }
  interface Ranked {
    title: string, share: string, part: number, rank: string, size: string, misfit: string, fits: boolean
    sentence: string, plants: boolean
  }
  interface Ranking { said: string, none: boolean, rows: Ranked[] }

  interface Dialog {
    style: string, words: Words, labels: Record<string, string>, quantities: Option[], units: Record<string, Option[]>, most: number
  }
  interface Answer {
    dialog?: Dialog, bench?: Bench, stale?: boolean
    told?: string, found?: Found, fresh?: boolean, wrong?: string, ready?: string | null, conditions?: Conditions
    problems?: Problem[], working?: "" | "lay" | "rank", unlaid?: string, laid?: Laid, ranking?: Ranking
    stopped?: boolean, unplanted?: string, used?: boolean
  }
  type Say = (act: string, value?: unknown) => void
}
