// @ts-check
// The signs on the bar's buttons.

import { icon } from "../shared/elements.js"

/** @type {Record<string, string>} */
const PATHS = {
  undo: "M7 5 3 9l4 4M3 9h8a5 5 0 0 1 0 10H8",
  redo: "M13 5l4 4-4 4M17 9H9a5 5 0 0 0 0 10h3",
  reset: "M4 4v12M16 5l-8 5 8 5z",
  theme: "M10 3a7 7 0 0 0 0 14zM17 10a7 7 0 1 1-14 0a7 7 0 1 1 14 0",
  large: "M2 16 6.500 5 11 16M3.600 12.500h5.800M13 16l2.500-6.500L18 16M13.800 14h3.400",
  language: "M17 10a7 7 0 1 1-14 0a7 7 0 1 1 14 0M3.300 10h13.400M10 3c-2.300 2-3.300 4.300-3.300 7s1 5 3.300 7c2.300-2 3.300-4.300 3.300-7s-1-5-3.300-7",
  help: "M7.200 7.500a2.900 2.900 0 1 1 4.300 2.600c-1 .6-1.500 1.100-1.500 2.200M10 15.300v.4",
}

/** @param {string} id of the item */
export const barIcon = id => icon(PATHS[id])
