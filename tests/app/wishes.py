"""What a script says to its component, and what it hears of it."""

from __future__ import annotations

import json
from typing import Any

from pvsim.app.component import Component


def message(do: str, value: Any = None, *, number: int = 1) -> dict[str, Any]:
    """A message with one wish, as static/shared/outbox.js sends it."""
    return {"number": number, "wishes": [{"do": do, "value": value}]}


def say(component: Component, do: str, value: Any = None) -> dict[str, Any]:
    """Hand a wish over; gives back what the answer tells beside its number."""
    told: list[dict[str, Any]] = []
    component._send_msg = told.append
    try:
        component._handle_msg(message(do, value, number=7))
    finally:
        del component._send_msg
    answer = told[-1]
    assert answer.pop("answered") == 7
    return answer


def press(view: Any, act: str, value: Any = None) -> dict[str, Any]:
    """What the page sends when something of the lessons is pressed; the page shown afterwards."""
    say(view.root, act, value)
    page: dict[str, Any] = view.root.page
    json.dumps(page)  # it goes to the browser
    return page
