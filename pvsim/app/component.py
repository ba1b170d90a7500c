"""The base of every part of the page that is drawn by a script of ours."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from panel.io import hold

from pvsim.app.mends.component import MendedComponent

__all__ = ["ActComponent", "Component", "HeardComponent", "Reply"]

Reply = dict[str, Any] | None


class Component(MendedComponent):
    """A component that holds plain values only.

    Whatever a browser says to one is answered in the language that was spoken when it was made.
    """

    __abstract = True


class HeardComponent(Component):
    """A component that hands on whatever its browser says.

    Parameters
    ----------
    heard : callable, optional
        Gets every message as it came.
    """

    __abstract = True

    def __init__(self, heard: Callable[[Any], None] | None = None, **params: Any) -> None:
        super().__init__(**params)
        self._heard = heard

    def _handle_msg(self, data: Any) -> None:
        if self._heard is not None:
            self._heard(data)


class ActComponent(Component):
    """A component whose browser sends acts by name and number, one at a time, and waits for the answer.

    Parameters
    ----------
    act : callable
        Called with an act's name and value, both as they came; what it gives back goes with the answer.
    """

    __abstract = True

    def __init__(self, act: Callable[[str, Any], Reply], **params: Any) -> None:
        super().__init__(**params)
        self._act = act

    def _handle_msg(self, message: Any) -> None:
        if not isinstance(message, dict):
            return
        reply: dict[str, Any] = {"ack": message.get("seq", 0)}
        with hold():
            try:
                reply |= self._act(str(message.get("act", "")), message.get("value")) or {}
            finally:
                self._send_msg(reply)  # always, or the browser waits for ever
