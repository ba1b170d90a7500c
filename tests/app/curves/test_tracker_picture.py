"""Strings with a tracker each: their curves side by side, and nothing added but powers."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from pvsim.app.curves.view import CurvesView
from pvsim.app.session.parameters import CURVE_VIEWS
from pvsim.app.session.state import State
from pvsim.array.light import Light
from pvsim.array.place import Place
from pvsim.files.demo import read_demo
from pvsim.reading import rungs
from tests.app.wishes import say


@pytest.fixture
def state() -> State:
    """Two strings of one length, a tracker each, one of them shaded."""
    state = State(replace(read_demo("ferry-terminal"), light=Light()))
    state.paint([Place(1, 2, cell=k) for k in range(1, 13)], 0.2)
    state.set_level("array")
    return state


@pytest.fixture
def view(state: State) -> CurvesView:
    """Its curves."""
    return CurvesView(state)


def shown(view: CurvesView) -> dict[str, Any]:
    """What the browser gets."""
    return json.loads(json.dumps(view.root.shown.values))


def watts(text: str) -> float:
    """The first number before W in a text."""
    found = re.search(r"([\d\u202f.]+)\s*W\b", text)
    assert found is not None, text
    return float(found[1].replace("\u202f", ""))


def test_the_curves_are_the_trackers_with_a_gap_between(state: State, view: CurvesView) -> None:
    data = view.figures.now.data
    gaps = np.flatnonzero(np.isnan(data["V"]))
    assert len(gaps) == 1
    pieces = np.split(np.arange(len(data["V"])), gaps)
    for piece, tracker in zip(pieces, state.solution.trackers, strict=True):
        rows = piece[~np.isnan(data["V"][piece])]
        best = tracker.characteristic.mpp
        found = np.interp(best.voltage_V, data["V"][rows], data["P"][rows])
        assert found == pytest.approx(best.power_W, rel=2e-3)  # a polyline of 400 points


def test_each_trackers_point_is_marked_and_named(state: State, view: CurvesView) -> None:
    held = shown(view)["held"]
    for one, tracker in zip(held, state.solution.trackers, strict=True):
        assert one["V"] == pytest.approx(tracker.point.voltage_V)
        assert one["P"] == pytest.approx(tracker.point.power_W)
        (said,) = (
            label for label in shown(view)["named"]["power"]["labels"] if label["y"] == one["P"]
        )
        assert said["text"].startswith(f"string {tracker.strings[0]}: ")


def test_one_sum_of_powers_is_told_everywhere(state: State, view: CurvesView) -> None:
    total = state.solution.power_W
    told = shown(view)
    assert watts(told["control"]["text"]) == pytest.approx(total, abs=0.051)  # written to 0.1 W
    assert "no curve of all" in told["control"]["more"]
    *each, together = [float(one["now"].replace("\u202f", "")) for one in told["key"]]
    assert together == pytest.approx(total, abs=0.051)
    assert sum(each) == pytest.approx(together, abs=0.11)
    for measure in ("held", "alone"):
        ladder = rungs(state.solution, None, Place(1), measure=measure)[-1]
        assert ladder.now_W == pytest.approx(total, rel=1e-9)
    view.show("parts")
    said = shown(view)["partsNote"]
    assert said.endswith(f"= {told['control']['text'].partition('deliver ')[2]}.")


def test_nothing_is_added_but_powers(view: CurvesView) -> None:
    view.show("parts")
    assert shown(view)["parts"] is None
    assert "no wire joins them" in shown(view)["partsNote"]
    assert " A" not in shown(view)["partsNote"]


def test_each_tracker_has_a_table(state: State, view: CurvesView) -> None:
    view.show("table")
    tables = shown(view)["tables"]
    assert len(tables) == 2
    for table, tracker in zip(tables, state.solution.trackers, strict=True):
        named = {row["name"]: row["cells"] for row in table["rows"] if row["name"]}
        assert f"string {tracker.strings[0]}" in table["caption"]
        assert float(named["MPP"][0]) == pytest.approx(tracker.characteristic.mpp.voltage_V, abs=0.051)


def test_each_tracker_is_compared_with_what_it_was(state: State, view: CurvesView) -> None:
    view.show("difference")
    told = shown(view)
    string_1, string_2, together = told["key"]
    assert (string_1["sign"], string_2["sign"]) == (-1, 0)
    assert together["change"] == string_1["change"]
    data = view.difference.change.data
    pieces = np.split(data["D"], np.flatnonzero(np.isnan(data["D"])))
    assert len(pieces) == 2
    assert np.nanmax(np.abs(pieces[0])) > 100.0 > 1e-6 > np.nanmax(np.abs(pieces[1]))


def test_joined_strings_are_not_compared_with_single_ones(state: State, view: CurvesView) -> None:
    state.set_array(tracking="one")
    told = shown(view)
    assert not told["compared"]
    assert all(one["before"] == "–" for one in told["key"])


def test_equal_trackers_share_one_curve_and_say_so(state: State, view: CurvesView) -> None:
    state.undo()
    (said,) = shown(view)["named"]["power"]["labels"]
    assert said["text"].startswith("strings 1, 2: ")


def test_a_point_on_a_trackers_curve_holds_all_trackers_alike(state: State, view: CurvesView) -> None:
    say(view.root, "point", {"V": 180.0, "I": 10.0})
    assert state.scenario.operation.kind == "voltage"
    assert [one["V"] for one in shown(view)["held"]] == pytest.approx([180.0, 180.0])
    assert shown(view)["control"]["label"] == "Voltage at every tracker"


@pytest.mark.parametrize("name", CURVE_VIEWS)
def test_many_trackers_are_shown_in_every_view(name: str) -> None:
    state = State(read_demo("ferry-terminal"))
    state.build_array(7, 3, "half-120")
    state.set_array(tracking="per-string")
    state.set_level("array")
    state.paint([Place(3, 2, cell=5)], 0.0)
    view = CurvesView(state)
    view.show(name)
    assert shown(view)["view"] == name
    assert [one["symbol"] for one in shown(view)["key"]] == [["P", "least"], ["P", "most"], ["ΣP", ""]]
    assert len(shown(view)["held"]) == 2
