"""Five levels at once: the same change, big at the cell and small at the array."""

from __future__ import annotations

import json
from typing import Any

import pytest

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")

from pvsim.app.curves.ladder import LadderView, ladder_rows
from pvsim.app.session.state import State
from pvsim.array.place import Place
from pvsim.files.demo import demo_names, read_demo
from pvsim.reading.levels import Rung
from tests.app.wishes import say

CELL = Place(1, 4, cell=14)


@pytest.fixture
def state() -> State:
    state = State(read_demo("workshop"))
    state.set_focus(CELL)
    return state


def shown(view: LadderView) -> dict[str, Any]:
    return view.root.shown.values


def rung(level: str, now_W: float, before_W: float | None) -> Rung:
    return Rung(level=level, place=CELL if level == "cell" else Place(), now_W=now_W, before_W=before_W)


def test_bars_stand_for_what_is_left_and_fall_left_of_zero_for_a_cell_that_eats_power() -> None:
    shown = ladder_rows((rung("cell", -2.0, 5.0), rung("array", 90.0, 100.0)))
    cell, array = shown["rows"]
    assert cell["end"] < shown["zero"] < array["end"] < array["was"] == cell["was"]
    share = (array["end"] - shown["zero"]) / (array["was"] - shown["zero"])
    assert share == pytest.approx(0.9, abs=1e-3)  # ends are rounded to 0.01 % of the track
    assert (cell["percent"], array["percent"]) == ("−140\u00a0%", "−10.0\u00a0%")


def test_a_bar_beyond_its_track_is_said_to_be_so() -> None:
    shown = ladder_rows((rung("cell", -40.0, 5.0), rung("array", 250.0, 100.0)))
    assert [row["beyond"] for row in shown["rows"]] == [-1, 1]
    assert [row["end"] for row in shown["rows"]] == [0.0, 100.0]


@pytest.mark.parametrize(
    ("now_W", "percent"),
    [(99.98, "−0.020\u00a0%"), (99.5, "−0.50\u00a0%"), (98.0, "−2.0\u00a0%")],
)
def test_a_small_change_has_a_size_too(now_W: float, percent: str) -> None:
    assert ladder_rows((rung("array", now_W, 100.0),))["rows"][0]["percent"] == percent


def test_where_nothing_has_changed_nothing_is_said() -> None:
    shown = ladder_rows((rung("cell", -3.0, 5.0), rung("array", 100.0, 100.0)))
    cell, array = shown["rows"]
    assert (array["change"], array["percent"], array["sign"]) == ("", "", 0)
    assert (cell["short"], array["short"]) == ("−160\u00a0%", "0\u00a0%"), "five in a line keep their places"
    assert not ladder_rows((rung("array", 100.0, 100.0),))["changed"]


@pytest.mark.parametrize("before_W", [None, 0.0, 4e-7])
@pytest.mark.parametrize("now_W", [10.0, -10.0])
def test_nothing_to_compare_with_is_a_dash_and_a_whole_bar(before_W: float | None, now_W: float) -> None:
    shown = ladder_rows((rung("array", now_W, before_W), rung("string", 50.0, 50.0)))
    row = shown["rows"][0]
    assert row["percent"] == "–"
    assert row["was"] == pytest.approx(shown["zero"], abs=0.01)
    assert (row["end"] > shown["zero"]) == (now_W > 0.0), "what eats power lies on the other side of zero"


@pytest.mark.parametrize("left_W", [4e-4, -4e-4, 2e-6])
def test_what_is_written_as_zero_has_no_bar(left_W: float) -> None:
    shown = ladder_rows((rung("cell", left_W, left_W), rung("string", 50.0, 60.0)))
    cell = shown["rows"][0]
    assert cell["now"].lstrip("\N{MINUS SIGN}") == "0.000"
    assert cell["was"] == cell["end"] == shown["zero"]


def test_of_a_negative_power_there_are_no_per_cents_and_no_bar_to_the_right() -> None:
    shown = ladder_rows((rung("cell", -39.0, -40.0), rung("substring", 60.0, 50.0)))
    cell, substring = shown["rows"]
    assert (cell["percent"], cell["short"], cell["sign"]) == ("–", "+1.00\u00a0W", 1)
    assert cell["was"] < cell["end"] < shown["zero"] < substring["was"] < substring["end"]
    gives = ladder_rows((rung("cell", 5.0, -40.0),))["rows"][0]
    assert gives["percent"] == "–", "minus 1096 per cent of what is eaten says nothing"
    assert gives["end"] > gives["was"]


def test_what_has_grown_more_than_a_hundredfold_says_so_in_watts_alone() -> None:
    row = ladder_rows((rung("cell", -1.85, -0.003),))["rows"][0]
    assert (row["percent"], row["before"], row["beyond"]) == ("–", "−0.003", -1)
    assert ladder_rows((rung("cell", -165.0, 5.7),))["rows"][0]["percent"] == "−2995\u00a0%"


def test_the_ladder_follows_the_state_and_asks_for_a_level(state: State) -> None:
    view = LadderView(state)
    assert not shown(view)["compared"]
    state.paint([CELL], 0.2)
    assert shown(view)["compared"]
    say(view.root, "level", "substring")
    assert state.level == "substring"
    assert shown(view)["level"] == "substring"
    say(view.root, "measure", "alone")
    assert shown(view)["measure"] == "alone"
    view.close()
    kept = view.root.shown
    state.paint([CELL], 0.9)
    assert view.root.shown == kept


@pytest.mark.parametrize(
    ("do", "value"), [("level", "roof"), ("measure", 3), ("level", ["cell"]), ("", None)]
)
def test_no_wish_from_outside_breaks_the_ladder(state: State, do: str, value: Any) -> None:
    view = LadderView(state)
    kept = view.root.shown
    say(view.root, do, value)
    assert view.root.shown == kept


@pytest.mark.parametrize("demo", demo_names())
def test_every_site_has_five_levels(demo: str) -> None:
    state = State(read_demo(demo))
    view = LadderView(state)
    state.set_light(irradiance_W_m2=0.0)
    assert len(shown(view)["rows"]) == 5
    json.dumps(view.root.shown.values, allow_nan=False)
