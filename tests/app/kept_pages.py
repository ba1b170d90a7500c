"""Pages that tests leave to one another, from file to file: each test loads one anew.

Opening the page costs a quarter less than in a browser context of its own. A file opts in by
`pytest.mark.usefixtures("kept_pages")`; a test that changes its page beyond what `leave` puts right (its
clock, its routes, its ears, scripts that run first) opens it with `alone=True`.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

FORGET = """() => {
    localStorage.clear()
    sessionStorage.clear()
    Storage.prototype.setItem = () => {} // nor is anything kept on the way out
}"""


REMEMBER = """kept => {
    for (const [name, value] of Object.entries(kept)) localStorage.setItem(`pvsim.${name}`, value)
}"""


def remember(page: Any, address: str, kept: dict[str, str]) -> None:
    """Have the browser keep what an earlier visit to an address left there."""
    nothing = address + "nothing"
    page.route(nothing, lambda route: route.fulfill(content_type="text/html", body=""))
    page.goto(nothing)
    page.evaluate(REMEMBER, kept)
    page.unroute(nothing)


class KeptPages:
    """Pages in contexts of their own, by what these were made with."""

    def __init__(self) -> None:
        self._idle: dict[str, list[Any]] = {}

    def take(self, options: dict[str, Any], make: Callable[[dict[str, Any]], Any]) -> Any:
        """A page at nothing whose context has these options; made where none is idle."""
        idle = self._idle.get(_key(options), [])
        return idle.pop() if idle else make(options)

    def leave(self, page: Any, options: dict[str, Any]) -> None:
        """Take a page back, with nothing of what was done on it."""
        if page.is_closed() or page.context.pages != [page]:
            page.context.close()
            return
        try:
            page.evaluate(FORGET)
            page.mouse.up()
            page.mouse.move(0, 0)
            page.goto("about:blank")
            page.context.clear_cookies()
            page.context.clear_permissions()
            page.set_viewport_size(options["viewport"])
            line = page.context.new_cdp_session(page)
            line.send("Page.resetNavigationHistory")
            line.detach()
        except Exception:  # whatever ails it, nobody else gets it
            page.context.close()
            return
        self._idle.setdefault(_key(options), []).append(page)


def _key(options: dict[str, Any]) -> str:
    return json.dumps(options, sort_keys=True)
