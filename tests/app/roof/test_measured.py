"""Readings in the drawing: the last at each module, and whether the bench was changed since."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")

from pvsim.app.field.view import FieldView
from pvsim.app.roof.view import RoofView
from pvsim.app.session.state import State
from pvsim.array.array import Array, Module, String
from pvsim.array.place import Place
from pvsim.array.scenario import Scenario
from tests.app.wishes import say


@pytest.fixture
def state() -> State:
    string = String(modules=(Module("full-36"),) * 3)
    state = State(Scenario(title="A shed", array=Array(strings=(string,))))
    state.open_field()
    return state


@pytest.fixture
def desk(state: State) -> Iterator[FieldView]:
    view = FieldView(state)
    yield view
    view.close()


def read_at(state: State, desk: FieldView, module: int) -> None:
    state.set_focus(Place(1, module), "module")
    say(desk.root, "act", {"name": "read:voltage"})


def outdated(roof: RoofView) -> dict[int, bool]:
    return {place["module"]: old for place, _text, old in roof.root.now.values["read"]}


def test_readings_from_before_a_change_are_marked_as_such(state: State, desk: FieldView) -> None:
    roof = RoofView(state)
    for module in (1, 2):
        read_at(state, desk, module)
    assert outdated(roof) == {1: False, 2: False}
    assert "before the change" not in roof.root.now.values["latest"]
    state.paint([Place(1, 3, cell=5)], 0.2)
    assert outdated(roof) == {1: True, 2: True}  # at once, and not with the next line of the log
    assert "(before the change)" in roof.root.now.values["latest"]
    assert "measured before the change: " in roof.root.now.values["readout"]
    read_at(state, desk, 2)
    assert outdated(roof) == {1: True, 2: False}
    assert "before the change" not in roof.root.now.values["latest"]
    assert "before the change" not in roof.root.now.values["readout"]


def test_a_change_that_is_undone_is_none(state: State, desk: FieldView) -> None:
    roof = RoofView(state)
    read_at(state, desk, 1)
    state.paint([Place(1, 3, cell=5)], 0.2)
    state.undo()
    assert outdated(roof) == {1: False}


def test_what_was_switched_changes_no_bench(state: State, desk: FieldView) -> None:
    """The log tells how the plant stood; the drawing shows the array at work."""
    roof = RoofView(state)
    read_at(state, desk, 1)
    say(desk.root, "act", {"name": "stop"})
    assert outdated(roof) == {1: False}


def test_readings_of_a_search_stay(state: State, desk: FieldView) -> None:
    """Meters read the array of the search, whatever is done to the drawing of it."""
    say(desk.root, "begin", {"seed": "5", "level": "1", "family": ""})
    roof = RoofView(state)
    read_at(state, desk, 1)
    state.paint([Place(1, 2, cell=5)], 0.2)
    assert outdated(roof) == {1: False}
