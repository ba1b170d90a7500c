// A document of a few lines, for modules that make elements: what was made can be read, nothing is drawn.

class Sheet {
  constructor(name) {
    Object.assign(this, { name, attributes: {}, children: [], style: {}, listeners: {} })
  }
  setAttribute(name, value) {
    this.attributes[name] = String(value)
  }
  addEventListener(name, listener) {
    this.listeners[name] = listener
  }
  /** As if it had happened. */
  hear(name) {
    this.listeners[name]()
  }
  append(...more) {
    this.children.push(...more)
  }
  get textContent() {
    return this.children.map((one) => (typeof one === "string" ? one : one.textContent)).join("")
  }
  set textContent(text) {
    this.children = [text]
  }
  /** Everything below with such a name. */
  all(name) {
    return this.children.flatMap((one) => (typeof one === "string" ? [] : [...(one.name === name ? [one] : []), ...one.all(name)]))
  }
  getContext() {
    return new Ruler()
  }
}

/** A ruler on which every letter is half as wide as its type is high. */
class Ruler {
  font = ""
  measureText(text) {
    return { width: text.length * parseFloat(/[\d.]+px/.exec(this.font)[0]) / 2 }
  }
}

export const layPaper = () => {
  globalThis.document = { createElement: (name) => new Sheet(name), createElementNS: (_space, name) => new Sheet(name) }
}
