"""Would anybody notice: the table of typical meters, and when it is not shown."""

from __future__ import annotations

from typing import Any

import pytest

from pvsim.app.curves.notice_table import notice_tables
from pvsim.app.curves.view import CurvesView
from pvsim.app.session.state import State
from pvsim.array.place import Place
from pvsim.files.demo import FIRST_DEMO, read_demo

CAPTION = "What typical meters would notice"
LEAF = Place(1, 4, cell=14)


@pytest.fixture
def state() -> State:
    state = State(read_demo(FIRST_DEMO))
    state.set_level("array")
    state.set_view("table")
    return state


def told(view: CurvesView) -> dict[str, list[str]]:
    """Change and verdicts by meter, of the table shown."""
    found = [one for one in view._picture.shown["tables"] if one["caption"].startswith(CAPTION)]
    return {row["cells"][0]: row["cells"][1:] for one in found for row in one["rows"]}


def test_nothing_is_said_without_a_state_to_compare_with(state: State) -> None:
    assert told(CurvesView(state)) == {}


def test_a_leaf_drowns_at_the_array_and_stands_out_beside_the_neighbour(state: State) -> None:
    view = CurvesView(state)
    state.paint([LEAF], 0.2)
    whole = told(view)
    certain = [name for name, cells in whole.items() if cells[1].startswith("changed (")]
    assert certain == [], "nothing at the array"
    assert whole["inverter display, power"][1].startswith("changed, unless the meter errs")
    assert {cells[2] for cells in whole.values()} == {"–"}, "an array has no neighbour"
    state.set_focus("1/4")
    state.set_level("string")
    clamp = told(view)["clamp meter, current"]
    assert clamp[0] == "−0.22\u00a0A"
    assert clamp[1].startswith("changed, unless the meter errs")
    assert clamp[2].startswith("changed (")
    assert "inverter display, power" not in told(view), "one tracker tells nothing of a string"
    state.set_level("module")
    assert told(view)["voltmeter, voltage at work"][1].startswith("changed (")
    state.set_level("cell")
    assert told(view) == {}, "no meter gets there"


def test_each_strings_own_tracker_has_a_display(state: State) -> None:
    state.set_array(tracking="per-string")
    view = CurvesView(state)
    state.set_focus("1/4")
    state.set_level("string")
    state.paint([LEAF], 0.2)
    assert "inverter display, power" in told(view)


def test_a_prediction_that_waits_is_not_answered(state: State) -> None:
    view = CurvesView(state)
    state.paint([LEAF], 0.2)
    assert told(view)
    state.lock(True)
    assert told(view) == {}


def test_what_is_compared_with_another_array_leaves_out_what_that_has_not(state: State) -> None:
    before: Any = state.solution
    state.set_string(length=7)
    assert notice_tables(state.solution, before, Place(1, 8)) == []
    assert notice_tables(state.solution, before, Place(1))[0]["rows"]
