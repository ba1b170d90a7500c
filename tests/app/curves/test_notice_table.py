"""Would anybody notice: the table of typical meters, and when it is not shown."""

from __future__ import annotations

import re
from typing import Any

import pytest

from pvsim.app.curves.notice_table import notice_shown, notice_tables, sights_at
from pvsim.app.curves.view import CurvesView
from pvsim.app.session.state import State
from pvsim.array.place import Place
from pvsim.files.demo import FIRST_DEMO, read_demo
from pvsim.words import speaking

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


def test_each_verdict_stands_beside_the_change_that_it_is_given_of(state: State) -> None:
    """Beside a neighbour that is the change of the difference: modules of one string share its current."""
    view = CurvesView(state)
    state.paint([LEAF], 0.2)
    state.set_focus("1/4")
    assert state.before is not None
    for level, place in (("string", Place(1)), ("module", Place(1, 4))):
        state.set_level(level)
        sights = sights_at(state.solution, state.before, place)
        for cells, sight in zip(told(view).values(), sights, strict=True):
            assert sight.beside is not None
            shown = re.search(r"\((\S+) ±(\S+)\)$", cells[2])
            assert shown is not None, cells
            change, wide = (float(one.replace("−", "-").replace(",", "")) for one in shown.groups())
            assert change == pytest.approx(sight.beside.effect, abs=0.5)
            assert wide == pytest.approx(sight.beside.expanded_uncertainty, abs=0.5)
            if cells[2].startswith("unchanged"):
                assert abs(change) < wide
    assert told(view)["clamp meter, current"][0] == "−0.22\u00a0A"
    assert told(view)["clamp meter, current"][2] == "unchanged (0.00 ±0.20)"


@pytest.mark.parametrize("large", [False, True], ids=["usual", "large"])
def test_no_word_of_the_figure_is_cut_off(state: State, large: bool) -> None:
    state.paint([LEAF], 0.2)
    assert state.before is not None
    for place in (Place(), Place(1), Place(1, 4)):
        for language in ("en", "de"):
            with speaking(language):
                sights = sights_at(state.solution, state.before, place)
                figure = notice_shown(sights, place, title="x", large=large)["figure"]
            assert [text for text in re.findall(r">([^<]+)<", figure) if text.endswith("...")] == []


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
    assert notice_tables(sights_at(state.solution, before, Place(1, 8)), Place(1, 8)) == []
    assert notice_tables(sights_at(state.solution, before, Place(1)), Place(1))[0]["rows"]


def test_one_sentence_says_how_many_would_notice_and_who_best(state: State) -> None:
    view = CurvesView(state)
    state.set_focus("1/4")
    state.set_level("string")
    state.paint([LEAF], 0.2)
    notice = view._picture.shown["notice"]
    sure = [cells for cells in told(view).values() if any(one.startswith("changed (") for one in cells)]
    assert notice["said"] == (
        f"Of {len(told(view))} meters {len(sure)} would notice; "
        "best: clamp meter, current, at string 1 against its neighbour."
    )
    # The same words stand for the figure where it cannot be seen, with every row of it.
    assert f'aria-label="{notice["said"]}' in notice["figure"]
    assert all(name in notice["figure"] for name in told(view))


def test_the_figure_is_made_for_who_looks_at_the_table_and_for_nobody_else(state: State) -> None:
    view = CurvesView(state)
    state.paint([LEAF], 0.2)
    assert view._picture.shown["notice"]["figure"].startswith("<svg")
    for name in ("curves", "difference", "parts"):
        state.set_view(name)
        assert view._picture.shown["notice"] is None
    state.set_view("table")
    state.lock(True)
    assert view._picture.shown["notice"] is None


def test_in_large_type_the_figure_is_laid_out_anew_and_not_only_blown_up(state: State) -> None:
    view = CurvesView(state)
    state.paint([LEAF], 0.2)
    usual = view._picture.shown["notice"]
    state.show(large=True)
    large = view._picture.shown["notice"]
    assert (usual["large"], large["large"]) == (False, True)
    assert large["figure"] != usual["figure"]
    assert large["said"] == usual["said"]


def test_nothing_is_drawn_where_no_meter_gets(state: State) -> None:
    assert notice_shown((), Place(1), title="x") is None


def test_a_rule_is_told_with_its_false_alarms_and_misses(state: State) -> None:
    view = CurvesView(state)
    state.set_focus("1/4")
    state.set_level("string")
    state.paint([LEAF], 0.2)
    (rules,) = [one for one in view._picture.shown["tables"] if one["caption"].startswith("A trained eye")]
    rows = {row["cells"][0]: row["cells"][1:] for row in rules["rows"]}
    assert set(rows) == {
        f"{meter}, against {what}"
        for meter in ("voltmeter, voltage at work", "voltmeter, open-circuit voltage", "clamp meter, current")
        for what in ("what it should be", "its neighbour")
    }
    beside = rows["clamp meter, current, against its neighbour"]
    assert beside[0] == "< 1\u00a0%", "five per cent hardly ever cry wolf beside a neighbour"
    assert beside[1] != "0\u00a0%", "and miss a leaf"
