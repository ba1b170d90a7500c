// @ts-check
// Elements of the page, apart from the drawing, which has its own (roof/dom.js).

const SVG = "http://www.w3.org/2000/svg"

/**
 * @typedef {Record<string, any>} Props attributes; listeners as `onclick`; markup as `html`
 * @typedef {(Node | string | null | undefined)[]} Children what is nothing is left out
 */

/**
 * @template {Element} T
 * @param {T} node
 * @param {Props} props
 * @param {Children} children
 */
const fill = (node, props, children) => {
  for (const [key, value] of Object.entries(props)) {
    if (value === undefined || value === null || value === false) continue
    if (key.startsWith("on")) node.addEventListener(key.slice(2), value)
    else if (key === "html") node.innerHTML = value      // escaped by pvsim.course.lesson.render or pvsim.files.figure.svg
    else node.setAttribute(key, value === true ? "" : value)
  }
  for (const child of children) if (child) node.append(child)
  return node
}

/**
 * @template {keyof HTMLElementTagNameMap} K
 * @param {K} tag
 * @param {Props} [props]
 * @param {Children} children
 */
export const el = (tag, props = {}, ...children) => fill(document.createElement(tag), props, children)
/**
 * @template {keyof SVGElementTagNameMap} K
 * @param {K} tag
 * @param {Props} [props]
 * @param {Children} children
 */
export const svg = (tag, props = {}, ...children) => fill(/** @type {SVGElementTagNameMap[K]} */ (document.createElementNS(SVG, tag)), props, children)
/** @param {string} path */
export const icon = path => svg("svg", { viewBox: "0 0 20 20", "aria-hidden": "true", class: "icon" }, svg("path", { d: path }))

/**
 * The first element below one that a selector finds.
 * @type {(node: ParentNode, selector: string) => HTMLElement | null}
 */
export const find = (node, selector) => node.querySelector(selector)

/**
 * What has the keys in the part of the page that an element is in.
 * @param {Element} node
 */
export const withKeys = node => /** @type {Document | ShadowRoot} */ (node.getRootNode()).activeElement
