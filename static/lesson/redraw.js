// @ts-check
// Parts of a page that stay, with focus and typing, until the plain values they are drawn from change.

/** @returns {{ keep: Lesson.Keep, forget(): void }} */
export function makeRedraw() {
  /** @type {Map<string, { text: string, node: HTMLElement }>} */
  let drawn = new Map()
  return {
    keep(name, values, draw) {
      const text = JSON.stringify(values)
      const old = drawn.get(name)
      if (old?.text === text) return old.node
      const node = draw(values)
      drawn.set(name, { text, node })
      return node
    },
    forget() { drawn = new Map() },
  }
}
