// @ts-check
// Which tool goes with what.

/**
 * Which tray a condition belongs to.
 * @param {string} condition
 * @param {Roof.Words} words
 * @returns {Roof.Tray}
 */
export function trayOf(condition, words) {
  const [kind] = condition.split(":")
  if (kind === "shade") return "shade"
  if (kind === "mend") return "mend"
  return words.kinds[kind] ? "break" : "look"
}

/**
 * Whether the faults offered for a part hold a condition.
 * @param {Roof.Store} d
 * @param {string} condition
 * @param {string} scope
 */
export function inScope(d, condition, scope) {
  const group = d.words.groups.find((one) => one.scope === scope)
  return !!group?.sets.some((set) => set.kinds.some(([kind]) => kind === condition || kind === condition.split(":")[0]))
}
