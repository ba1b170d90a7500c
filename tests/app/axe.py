"""The rules of axe-core, held against a page as it stands."""

from __future__ import annotations

from typing import Any

import pytest

from tests.app.conftest import PHONE

axe = pytest.importorskip("axe_playwright_python.sync_playwright", reason="needs axe-playwright-python")

# WCAG 2.2, 2.5.8 is off by default in axe.
OPTIONS = {"resultTypes": ["violations"], "rules": {"target-size": {"enabled": True}}}


RUN = "([within, options]) => axe.run(within ? { include: within } : document, options)"


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
    # Under an open panel; on a phone under the curves and the status line, from where it can be scrolled.
    over = page.get_by_role("dialog").count() > 0 or page.viewport_size == PHONE
    return [
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
