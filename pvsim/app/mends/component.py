"""A part of the page that is drawn by a script: its updates cost what they carry."""

from __future__ import annotations

from typing import Any, ClassVar

import panel as pn
from bokeh.document import Document
from bokeh.events import Event
from panel.io.state import set_curdoc

from pvsim.words import language, speaking

__all__ = ["MendedComponent"]


class MendedComponent(pn.custom.JSComponent):
    """A JSComponent whose updates cost what they carry, and which is spoken to in its session's language.

    Panel sends a component's script with every document, after a walk through all of its lines, and the
    browser translates it; ours is the address of a module (modules.py), which Panel takes for a bundle. It
    looks in every folder on the way to a component for bundles, 0.5 ms each time; we have none. It looks
    through all values of a component for models of its own at every update, about 1 ms for each component;
    ours hold plain values only, so their one model is marked and no more. And it counts what is at work for a
    busy light, a tenth of each change; no part here shows one.

    Of each kind of component the first that a process makes tells its browser what the kind is, and no later
    one does. Every document says so of all kinds that there are; a page that is drawn anew after a gap cannot
    read it where it stands a second time.
    """

    __abstract = True

    _bundle_path: ClassVar[None] = None

    def __init__(self, **params: Any) -> None:
        super().__init__(**params)
        self._language = language().code

    def _get_properties(self, doc: Document | None) -> dict[str, Any]:
        return super()._get_properties(doc) | {"bundle": "url", "_defs": []}

    @classmethod
    def _patch_datamodel_ref(cls, props: Any, ref: str) -> None:
        mark = f"__ref:{ref}"
        if mark not in props.tags:
            props.tags.append(mark)

    def _process_bokeh_event(self, doc: Document, event: Event) -> None:
        with set_curdoc(doc), speaking(self._language):
            self._process_event(event)

    def _process_events(self, events: dict[str, Any]) -> None:
        with speaking(self._language):
            super()._process_events(events)
