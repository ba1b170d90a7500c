"""A part of the page that is drawn by a script: its updates cost what they carry."""

from __future__ import annotations

from contextlib import nullcontext
from typing import Any, ClassVar

import panel as pn
import param
from bokeh.document import Document
from bokeh.events import Event
from panel.io.document import unlocked
from panel.io.state import set_curdoc, state
from panel.reactive import Reactive

from pvsim.app.put import put
from pvsim.words import language, speaking

__all__ = ["MendedComponent"]

PLAIN_KINDS = (param.ClassSelector, param.String, param.Boolean, param.Integer, param.Number)


class MendedComponent(pn.custom.JSComponent):
    """A JSComponent whose updates cost what they carry, and which is spoken to in its session's language.

    Panel sends a component's script with every document, after a walk through all of its lines, and the
    browser translates it; ours is the address of a module (modules.py), which Panel takes for a bundle. It
    looks in every folder on the way to a component for bundles, 0.5 ms each time; we have none. It looks
    through all values of a component for models of its own at every update, about 1 ms for each component;
    ours hold plain values only, so their one model is marked and no more. And it counts what is at work for a
    busy light, a tenth of each change; no part here shows one. Before a value goes to the browser it asks of
    each parameter whether it is a child, an event, one of its own, or what the browser itself has said last,
    a twentieth of each change; here it is none of these. What often changes is shown past param too (`put`).

    Of each kind of component the first that a process makes tells its browser what the kind is, and no later
    one does. Every document says so of all kinds that there are; a page that is drawn anew after a gap cannot
    read it where it stands a second time.
    """

    __abstract = True

    _bundle_path: ClassVar[None] = None
    _carried_names: ClassVar[frozenset[str]]

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

    def put(self, **values: Any) -> None:
        """Set parameters that go to the browser as they are.

        As the function `put` does, but where a browser has the component they go straight there: param would
        look what else might hear of each, which takes longer than all that the browser is told.
        """
        if self._models and self._carried().issuperset(values) and self._is_heard():
            there = self._param__private.values
            fresh = {name: value for name, value in values.items() if there.get(name) is not value}
            there.update(fresh)
            if fresh:
                self._carry(fresh)
        else:
            put(self, **values)

    def _param_change(self, *events: param.parameterized.Event) -> None:
        if all(event.name in self._carried() for event in events) and self._is_heard():
            self._carry({event.name: event.new for event in events})
        else:
            super()._param_change(*events)

    @classmethod
    def _carried(cls) -> frozenset[str]:
        """Parameters whose values go to the browser as they are: no children, nothing of Panel's own."""
        if "_carried_names" not in cls.__dict__:
            own = cls.param.objects("existing").items()
            cls._carried_names = frozenset(
                name for name, one in own if type(one) in PLAIN_KINDS and name not in Reactive.param
            )
        return cls._carried_names

    def _own_models(self) -> list[Any]:
        """Each once: in a page a component is known as a root and as a part of the page's template."""
        return list({id(model): model for model, _parent in self._models.values()}.values())

    def _is_heard(self) -> bool:
        """Whether a browser has the component and this is its document's turn."""
        return all(ref in state._views for ref in self._models) and all(
            model.document is not None and state._unblocked(model.document) for model in self._own_models()
        )

    def _carry(self, values: dict[str, Any]) -> None:
        before = dict(self._changing)
        # Else Panel takes them for what a browser has said.
        self._changing.update({ref: list(values) for ref in self._models})
        try:
            for model in self._own_models():
                # What is held already goes with the rest; nothing of ours is an array, which Panel patches.
                with nullcontext() if model.document.callbacks.hold_value else unlocked():
                    model.data.update(**values)
        finally:
            self._changing.clear()
            self._changing.update(before)

    def _process_bokeh_event(self, doc: Document, event: Event) -> None:
        with set_curdoc(doc), speaking(self._language):
            self._process_event(event)

    def _process_events(self, events: dict[str, Any]) -> None:
        with speaking(self._language):
            super()._process_events(events)
