"""Plain values reach a browser as they stand, and are none that it would take for something else."""

from __future__ import annotations

import json
from typing import Any

import pytest
from bokeh.core.json_encoder import serialize_json
from bokeh.core.serialization import Deserializer, Serializer
from bokeh.document import Document

from pvsim.app.curves.ladder import LadderView
from pvsim.app.curves.view import CurvesView
from pvsim.app.plain import Keyed, Plain
from pvsim.app.roof.view import RoofView
from pvsim.app.session.state import State
from pvsim.app.shell.frame import FrameView
from pvsim.array.place import Place
from pvsim.files.demo import demo_names, read_demo


def test_plain_values_are_written_as_json_and_not_value_by_value() -> None:
    values = {"cells": {"ranges": [[0, 60]], "values": "AAA="}, "none": None, "on": True, "V": 0.1}
    written = serialize_json(Serializer().serialize({"now": Plain(values)}))
    assert json.loads(written) == {"type": "map", "entries": [["now", values]]}


def test_a_number_that_is_none_is_refused() -> None:
    with pytest.raises(ValueError, match="JSON compliant"):
        serialize_json(Serializer().serialize(Plain({"V": float("nan")})))


def test_what_has_not_changed_is_not_sent_again() -> None:
    view = LadderView(State(read_demo("workshop")))
    model: Any = view.root.get_root(Document())
    heard: list[Any] = []
    model.data.on_change("shown", lambda attr, old, new: heard.append(new))
    view.root.shown = Plain(json.loads(json.dumps(view.root.shown.values)))
    assert heard == []
    view.root.shown = Plain(view.root.shown.values | {"zero": 12.5})
    assert len(heard) == 1


@pytest.mark.parametrize("demo", demo_names())
def test_no_value_passes_for_a_part_of_the_page(demo: str) -> None:
    state = State(read_demo(demo))
    roof, curves, ladder = RoofView(state), CurvesView(state), LadderView(state)
    views = [roof, curves, ladder, FrameView(state)]
    for level in ("array", "string", "module", "substring", "cell"):
        state.set_focus("1/1/1", level)
        for view in ("curves", "difference", "parts", "table"):
            state.paint([Place(1, 1, cell=1)], 0.2)
            state.set_view(view)
            for one in views:
                for name, held in one.root.param.values().items():
                    if isinstance(held, Plain):
                        assert odd_keys(held.values) == [], f"{type(one).__name__}.{name}"
                        json.dumps(held.values, allow_nan=False)


def test_a_dict_with_a_type_of_its_own_is_written_as_a_map() -> None:
    values = {"fields": {"type": "module", "wind": "1"}, "rows": ({"id": 3}, [{"wide": True}]), "on": None}
    written = json.loads(serialize_json(Serializer().serialize(Keyed(values))))
    assert Deserializer().deserialize(written) == json.loads(json.dumps(values))


def odd_keys(value: Any) -> list[Any]:
    """Keys that BokehJS looks at, and such as are no words."""
    if isinstance(value, dict):
        own = [key for key in value if key in ("type", "id") or not isinstance(key, str)]
        return own + [key for one in value.values() for key in odd_keys(one)]
    return [key for one in value for key in odd_keys(one)] if isinstance(value, list | tuple) else []
