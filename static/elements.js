// Elements of the lesson region and of the lecture.

const SVG = "http://www.w3.org/2000/svg"

const fill = (node, props, children) => {
  for (const [key, value] of Object.entries(props)) {
    if (value === undefined || value === null || value === false) continue
    if (key.startsWith("on")) node.addEventListener(key.slice(2), value)
    else if (key === "html") node.innerHTML = value      // rendered and escaped by pvsim.course.render
    else node.setAttribute(key, value === true ? "" : value)
  }
  node.append(...children.filter(child => child !== null && child !== undefined && child !== ""))
  return node
}

export const el = (tag, props = {}, ...children) => fill(document.createElement(tag), props, children)
export const svg = (tag, props = {}, ...children) => fill(document.createElementNS(SVG, tag), props, children)
export const icon = path => svg("svg", { viewBox: "0 0 20 20", "aria-hidden": "true", class: "icon" }, svg("path", { d: path }))
