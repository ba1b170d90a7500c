"""Cables as tables beside the curves, and out of sight while they would answer a prediction."""

from __future__ import annotations

import pytest

from pvsim.app.curves.view import CurvesView
from pvsim.app.roof.view import RoofView
from pvsim.app.session.state import State
from pvsim.files.demo import FIRST_DEMO, read_demo

CAPTION = "Cables of each string"


@pytest.fixture
def state() -> State:
    state = State(read_demo(FIRST_DEMO))
    state.set_level("array")
    state.set_view("table")
    return state


def tables(view: CurvesView) -> list[dict]:
    return [one for one in view._picture.shown["tables"] if one["caption"].startswith(CAPTION)]


def test_strings_that_are_rows_have_no_table_of_cables(state: State) -> None:
    assert tables(CurvesView(state)) == []


def test_two_wirings_stand_side_by_side(state: State) -> None:
    view, roof = CurvesView(state), RoofView(state)
    state.wire_usual("row by row", 2)
    assert [one["caption"] for one in tables(view)] == [CAPTION]
    state.keep_before()
    state.wire_usual("leapfrog", 2)
    now, before = tables(view)
    assert [row["cells"][0] for row in now["rows"]] == ["1", "2", "all"]
    metres = [float(one["rows"][-1]["cells"][1]) for one in (now, before)]
    assert metres[0] < metres[1]
    strings = [float(row["cells"][1]) for row in now["rows"][:2]]
    assert sum(strings) == pytest.approx(metres[0], abs=0.11)
    assert f"{metres[0]:.1f} m of cable (before {metres[1]:.1f})" in roof.root.now.values["cables"]
    assert len(roof.root.now.values["earlier"]) == 2, "and on the drawing as faint lines"


def test_cables_are_kept_back_with_a_prediction_about_them(state: State) -> None:
    state.wire_usual("row by row", 2)
    view, roof = CurvesView(state), RoofView(state)
    assert tables(view)
    state.lock(True, ["cables"])
    assert tables(view) == []
    assert roof.root.now.values["cables"] == ""
    state.lock(False)
    assert tables(view)
    assert roof.root.now.values["cables"]
