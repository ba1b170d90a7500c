"""The base of every part of the page that is drawn by a script of ours."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import panel as pn
from bokeh.document import Document
from bokeh.events import Event
from panel.io import hold
from panel.io.state import set_curdoc

from pvsim.words import language, speaking

__all__ = ["ActComponent", "Component", "Reply"]

Reply = dict[str, Any] | None


class Component(pn.custom.JSComponent):
    """A JSComponent whose updates cost what they carry.

    Panel looks through all values of a component for models of its own at every update, about
    1 ms for each component; ours hold plain values only, so their one model is marked and no more.
    Whatever a browser says to one is answered in the language that was spoken when it was made.
    """

    __abstract = True

    def __init__(self, **params: Any) -> None:
        super().__init__(**params)
        self._language = language().code

    @classmethod
    def _patch_datamodel_ref(cls, props: Any, ref: str) -> None:
        mark = f"__ref:{ref}"
        if mark not in props.tags:
            props.tags.append(mark)

    def _process_bokeh_event(self, doc: Document, event: Event) -> None:
        # Panel counts what is at work for a busy light, a tenth of each change; no part here shows one.
        with set_curdoc(doc), speaking(self._language):
            self._process_event(event)

    def _process_events(self, events: dict[str, Any]) -> None:
        with speaking(self._language):
            super()._process_events(events)


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
