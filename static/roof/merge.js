// @ts-check
// How what the drawing has to say is put together while it waits.

/**
 * Add one wish to those waiting; painting, moving and looking around merge with their like.
 * @param {Roof.Wish[]} waiting changed in place
 * @param {Roof.Wish} wish
 */
export function merge(waiting, wish) {
  const last = waiting[waiting.length - 1]
  if (last && isBrush(last) && isBrush(wish) && SAME_STROKE.every((name) => last[name] === wish[name])) {
    last.at = [...new Set([...last.at, ...wish.at])]
  } else if (last?.do === "shadow" && wish.do === "shadow" && last.index === wish.index && last.stroke === wish.stroke) {
    waiting[waiting.length - 1] = { ...last, ...wish }
  } else if (last?.do === "show" && wish.do === "show") {
    waiting[waiting.length - 1] = { ...last, ...wish }
  } else waiting.push(isBrush(wish) ? { ...wish, at: [...wish.at] } : { ...wish })
}

/** @type {["do", "of", "to", "stroke"]} */
const SAME_STROKE = ["do", "of", "to", "stroke"]

/**
 * @param {Roof.Wish} wish
 * @returns {wish is Roof.BrushWish}
 */
function isBrush(wish) {
  return "at" in wish && wish.at !== undefined
}
