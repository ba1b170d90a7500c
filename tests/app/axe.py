"""The rules of axe-core, held against a page as it stands."""

from __future__ import annotations

from typing import Any

import pytest

from tests.app.conftest import PHONE

axe = pytest.importorskip("axe_playwright_python.sync_playwright", reason="needs axe-playwright-python")

# WCAG 2.2, 2.5.8 is off by default in axe. Style sheets are fetched for css-orientation-lock alone, which axe
# calls an experiment and does not run unasked; without them a look at a part costs a quarter less.
OPTIONS = {
    "resultTypes": ["violations"],
    "rules": {"target-size": {"enabled": True}},
    "preload": {"assets": ["media"]},
}


RUN = "([within, options]) => axe.run(within ? { include: within } : document, options)"

# Buttons of one panel, or of one entry of the glossary, that a screen reader cannot tell apart; terms of one
# word open one meaning.
TWINS = """within => {
  const roles = ["dialog", "region", "group", "tabpanel", "toolbar", "tablist", "radiogroup"]
  const panels = "dialog, section[aria-label], section[aria-labelledby], form, fieldset, nav, header, main, "
    + "aside, [data-entry], " + roles.map(role => `[role=${role}]`).join()
  const shown = (one) => axe.commons.dom.isVisibleToScreenReaders(one)
  const holder = (one) => {
    let at = one.parent
    while (at && !(at.actualNode instanceof Element && at.actualNode.matches(panels))) at = at.parent
    return at?.actualNode ?? document.body
  }
  const inside = (one) => {
    if (!within.length) return true
    for (let at = one; at; at = at.parent) {
      const here = at.actualNode
      if (here instanceof Element && within.some(([part]) => here.matches(part))) return true
    }
    return false
  }
  axe.setup(document)
  const told = new Map()
  for (const one of axe.utils.querySelectorAll(axe._tree, "button, [role=button], summary")) {
    if (one.actualNode.matches(".term") || !shown(one) || !inside(one)) continue
    const panel = holder(one)
    if (!told.has(panel)) told.set(panel, [])
    told.get(panel).push(axe.commons.text.accessibleTextVirtual(one).trim())
  }
  axe.teardown()
  return [...told].flatMap(([panel, names]) => {
    const where = panel.getAttribute("aria-label") || panel.id || panel.className
    return [...new Set(names.filter((name, k) => names.indexOf(name) !== k))].map(name => [where, name])
  })
}"""


def broken_rules(page: Any, within: tuple[str, ...] = ()) -> list[str]:
    """What axe has against the page as it stands, each with the places it names.

    Parameters
    ----------
    within : tuple of str
        Selectors of the parts in which anything has changed since the page was last held to the rules;
        without any the whole page is looked at, and with it how its regions stand to one another.
    """
    still(page)
    if not page.evaluate("'axe' in window"):
        page.evaluate(axe.Axe().axe_script)
    found = page.evaluate(RUN, [[[one] for one in within] or None, OPTIONS])["violations"]
    twice = page.evaluate(TWINS, [[one] for one in within])
    # Under an open panel; on a phone under the curves and the status line, from where it can be scrolled.
    over = page.get_by_role("dialog").count() > 0 or page.viewport_size == PHONE
    return [f"one name for several buttons: {where}: {name}" for where, name in twice] + [
        f"{one['id']} ({one['help']}): {node['target']} {node['html'][:120]}"
        for one in found
        for node in one["nodes"]
        if not (over and half_covered(node))
    ]


def half_covered(node: dict[str, Any]) -> bool:
    """Whether a target is small only for what lies over it, as a button under an open panel is."""
    return any((check.get("data") or {}).get("messageKey") == "partiallyObscured" for check in node["any"])


def still(page: Any) -> None:
    """Wait until no transition runs: a colour on its way has another contrast."""
    page.wait_for_function(
        """() => {
          const hosts = root => [...root.querySelectorAll("*")].filter(one => one.shadowRoot)
          const within = root => [root, ...hosts(root).flatMap(one => within(one.shadowRoot))]
          return within(document).every(root =>
            root.getAnimations().every(one => !(one instanceof CSSTransition) || one.playState !== "running"))
        }"""
    )
