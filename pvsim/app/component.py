"""The base of every part of the page that is drawn by a script of ours."""

from __future__ import annotations

from typing import Any

import panel as pn
from bokeh.document import Document
from bokeh.events import Event
from panel.io.state import set_curdoc

__all__ = ["Component"]


class Component(pn.custom.JSComponent):
    """A JSComponent whose updates cost what they carry.

    Panel looks through all values of a component for models of its own at every update, about
    1 ms for each component; ours hold plain values only, so their one model is marked and no more.
    """

    __abstract = True

    @classmethod
    def _patch_datamodel_ref(cls, props: Any, ref: str) -> None:
        mark = f"__ref:{ref}"
        if mark not in props.tags:
            props.tags.append(mark)

    def _process_bokeh_event(self, doc: Document, event: Event) -> None:
        # Panel counts what is at work for a busy light, a tenth of each change; no part here shows one.
        with set_curdoc(doc):
            self._process_event(event)
