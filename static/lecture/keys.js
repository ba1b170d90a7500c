// @ts-check
// Keys of a lecture. Those of a pointing stick (PgUp, PgDn) are the lecture's wherever the focus is; arrows and
// Space belong to what has the focus, if it uses them; letters can be switched off.

const LETTERS = new Map(Object.entries({ r: "right", b: "blank", ".": "blank", v: "reveal", a: "again", o: "class", h: "hands", n: "notes" }))
const LIFTING = ["Escape", " ", "Enter", "ArrowRight", "ArrowLeft"]
const ALWAYS = ["blank", "right"] // whether the foot offers them or not
const USES_SPACE = "button, a, input, summary, [role=button], [role=radio]"

/** @param {string} key */
const letterOf = key => LETTERS.get(key.toLowerCase()) ?? ""

/**
 * What a key does before anything else hears it, or "".
 * @param {string} key
 * @param {boolean} dark whether the screen is
 */
export const firstAct = (key, dark) => {
  if (key === "PageDown") return "next"
  if (key === "PageUp") return "back"
  return dark && (LIFTING.includes(key) || letterOf(key)) ? "blank" : ""
}

/**
 * What a key does that nothing else has used, or "".
 * @param {string} key
 * @param {{ spaceUsed: boolean, joining: boolean, letters: boolean, buttons: Lecture.Key[] }} here
 */
export const lastAct = (key, { spaceUsed, joining, letters, buttons }) => {
  if (key === "ArrowRight" || (key === " " && !spaceUsed)) return "next"
  if (key === "ArrowLeft") return "back"
  if (key === "Escape" && joining) return "join-close"
  const act = letters ? letterOf(key) : ""
  return ALWAYS.includes(act) || buttons.some(one => one.act === act && one.able) ? act : ""
}

/** @param {EventTarget} at */
const typesInto = at => at instanceof HTMLElement && (at.isContentEditable || /^(TEXTAREA|SELECT)$/.test(at.tagName)
  || (at instanceof HTMLInputElement && !/^(checkbox|button|submit|file)$/.test(at.type)))

/**
 * Listen, and give back what stops listening.
 * @param {Lecture.Model} model
 * @param {{ dark: () => boolean, joining: () => boolean, press: (act: string) => void }} sheet
 */
export function hearKeys(model, { dark, joining, press }) {
  /** @param {KeyboardEvent} event */
  const elsewhere = event => model.page.kind !== "cue" || event.ctrlKey || event.metaKey || event.altKey
    || event.composedPath().some(node => node instanceof HTMLDialogElement)
  /** @type {(event: KeyboardEvent, act: string) => void} */
  const take = (event, act) => {
    if (!act) return
    event.preventDefault()
    event.stopPropagation()
    if (!event.repeat) press(act)
  }
  /** @param {KeyboardEvent} event */
  const early = event => { if (!elsewhere(event)) take(event, firstAct(event.key, dark())) }
  /** @param {KeyboardEvent} event */
  const late = event => {
    const [at] = event.composedPath()
    if (elsewhere(event) || event.defaultPrevented || typesInto(at)) return
    const spaceUsed = at instanceof Element && at.closest(USES_SPACE) !== null
    const buttons = model.page.kind === "cue" ? model.page.buttons : []
    take(event, lastAct(event.key, { spaceUsed, joining: joining(), letters: model.letters, buttons }))
  }
  document.addEventListener("keydown", early, true)
  document.addEventListener("keydown", late)
  return () => {
    document.removeEventListener("keydown", early, true)
    document.removeEventListener("keydown", late)
  }
}
