"""The curves as a view on the state: what they follow, what they ask for, what they leave alone."""

from __future__ import annotations

import gc
import json
import weakref
from typing import Any

import numpy as np
import pytest

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")

from pvsim.app.curves.choice import Choice
from pvsim.app.curves.picture import picture
from pvsim.app.curves.view import CurvesView
from pvsim.app.session.parameters import CURVE_VIEWS
from pvsim.app.session.state import State
from pvsim.array import Fault, add_fault
from pvsim.array.operation import Operation
from pvsim.array.place import SHOWN_LEVELS, Place
from pvsim.array.solve import level_curve, solve_array
from pvsim.files.demo import demo_names, read_demo
from tests.app.wishes import say

CELL = Place(1, 4, cell=14)


@pytest.fixture
def state() -> State:
    state = State(read_demo("workshop"))
    state.set_focus(CELL, "array")
    return state


@pytest.fixture
def view(state: State) -> CurvesView:
    return CurvesView(state)


def shown(view: CurvesView) -> dict[str, Any]:
    """What the browser gets, which must be JSON without NaN or infinity."""
    return json.loads(json.dumps(view.root.shown.values, allow_nan=False))


def key(view: CurvesView, name: str) -> dict[str, Any]:
    """One key figure as it is written."""
    return next(one for one in shown(view)["key"] if one["key"] == name)


# What is shown


@pytest.mark.parametrize("level", SHOWN_LEVELS)
def test_the_curve_of_every_level_is_the_solvers(state: State, view: CurvesView, level: str) -> None:
    state.set_level(level)
    curve = level_curve(state.scenario, state.view_place())
    assert view.figures.now.data["I"] is not None
    now = view.figures.now.data
    inside = (now["V"] >= curve.voltage_V[0]) & (now["V"] <= curve.voltage_V[-1])
    np.testing.assert_allclose(
        now["I"][inside],
        np.interp(now["V"][inside], curve.voltage_V, curve.current_A),
        atol=5e-3 * curve.isc_A,  # two polylines of 400 points through one curve
    )
    np.testing.assert_array_equal(now["P"], now["V"] * now["I"])


def test_differences_are_now_minus_before(state: State, view: CurvesView) -> None:
    before = state.solution.power_W
    state.paint([CELL], 0.2)
    assert shown(view)["compared"]
    change = float(key(view, "pmp")["change"].replace("−", "-"))
    assert change == pytest.approx(state.solution.power_W - before, abs=0.051)  # written to 0.1 W
    assert key(view, "pmp")["sign"] == -1


def test_axes_stay_while_things_change_and_move_with_the_level(state: State, view: CurvesView) -> None:
    axes = shown(view)["axes"]
    state.paint([CELL], 0.1)
    state.set_light(irradiance_W_m2=600.0)
    assert shown(view)["axes"] == axes
    state.set_level("module")
    assert shown(view)["axes"] != axes
    state.set_level("array")
    assert shown(view)["axes"] == axes


def test_axes_reach_as_far_as_cold_and_strong_light_take_the_curve(state: State, view: CurvesView) -> None:
    usual = shown(view)["axes"]
    state.set_weather(cell_temperature_C=-10.0)
    state.set_light(irradiance_W_m2=1300.0)
    axes = shown(view)["axes"]
    assert not shown(view)["offer"]
    current, power = (shown(view)["named"][name]["points"] for name in ("current", "power"))
    assert (len(current), len(power)) == (3, 1)
    for V, I, *_look in current:
        assert V <= axes["V"][1] - 0.02 * (axes["V"][1] - axes["V"][0])
        assert I <= axes["I"][1] - 0.02 * (axes["I"][1] - axes["I"][0])
    assert power[0][1] <= axes["P"][1]
    state.set_light(irradiance_W_m2=1305.0)
    assert shown(view)["axes"] == axes, "they do not creep"
    state.set_weather(cell_temperature_C=25.0)
    state.set_light(irradiance_W_m2=1000.0)
    assert shown(view)["axes"]["I"][1] > usual["I"][1], "what it was stays in sight beside it"
    state.compare_nothing()
    assert shown(view)["axes"] == usual


def test_axes_are_fitted_on_demand_only_and_offered_when_the_curve_leaves_them(
    state: State, view: CurvesView
) -> None:
    state.set_focus(Place(1), "string")
    locked = shown(view)["axes"]
    assert not shown(view)["offer"]
    state.break_part(Place(1), "modules-too-many", 12)  # more than as many again
    assert shown(view)["offer"]
    say(view.root, "fit", True)
    assert shown(view)["fitted"]
    assert not shown(view)["offer"]
    assert shown(view)["axes"]["V"][1] > 2 * locked["V"][1]
    say(view.root, "fit", False)
    assert not shown(view)["fitted"]
    assert shown(view)["offer"]


def test_where_there_is_no_power_there_is_no_maximum_to_speak_of(state: State, view: CurvesView) -> None:
    state.set_level("string")
    state.break_part(Place(1), "cable-open")
    assert shown(view)["control"]["of"] == ""
    current, power = (shown(view)["named"][name]["labels"] for name in ("current", "power"))
    assert [one["symbol"] for one in current if one["role"] == "current"] == [["I", "sc"], ["V", "oc"]]
    assert not any(one["role"] == "power" for one in power)
    assert shown(view)["named"]["power"]["points"] == []
    assert [key(view, name)["now"] for name in ("pmp", "vmp", "ff")] == ["0.0", "–", "–"]
    assert [key(view, "ff")[name] for name in ("change", "percent", "sign")] == ["–", "–", 0]
    state.undo()
    assert key(view, "vmp")["before"] == key(view, "vmp")["change"] == "–"
    assert "–" not in (key(view, "vmp")["now"], key(view, "ff")["now"])


def test_operating_point_and_maximum_are_told_apart_and_the_slider_says_whose_it_is(
    state: State, view: CurvesView
) -> None:
    state.set_level("module")
    control = shown(view)["control"]
    assert (control["short"], control["lead"], control["of"]) == ("array at", "held at", "(the maximum)")
    state.set_operation("voltage", 200.0)
    control = shown(view)["control"]
    assert control["where"].startswith("array at 200.0")
    assert control["where"].endswith("W")  # what follows is set off from it where both stand
    share = state.solution.modules.power_W[0] / level_curve(state.scenario, Place(1, 1)).mpp.power_W
    assert control["of"] == f"({100 * share:.1f}\xa0% of max.)"
    for name in ("current", "power"):
        said = [one["text"].partition("\u00a0")[0] for one in shown(view)["named"][name]["labels"]]
        assert said[-2:] == ["held", "MPP"], "the point held chooses first"


def test_a_cell_driven_into_reverse_is_shown_there(state: State, view: CurvesView) -> None:
    state.set_level("cell")
    assert not shown(view)["reverse"]
    state.paint([CELL], 0.2)
    assert shown(view)["reverse"]
    (point,) = shown(view)["held"]
    assert point["P"] < 0.0
    assert shown(view)["axes"]["V"][0] < point["V"]
    say(view.root, "reverse", False)
    assert not shown(view)["reverse"]


def test_every_maximum_is_marked_and_only_the_greatest_is_the_mpp(state: State, view: CurvesView) -> None:
    state.paint([CELL], 0.2)
    state.set_level("module")
    curve = level_curve(state.scenario, Place(1, 4))
    assert len(curve.mpps) == 2
    current, power = (shown(view)["named"][name] for name in ("current", "power"))
    assert len(current["points"]) == 4  # with Isc and Voc
    assert {(V, P) for V, P, *_look in power["points"]} == {
        (one.voltage_V, one.power_W) for one in curve.mpps
    }
    (best,) = ((V, P) for V, P, _radius, hollow in power["points"] if not hollow)
    assert best[1] == curve.mpp.power_W
    (said,) = (one for one in power["labels"] if one["text"].startswith("MPP"))
    assert (said["x"], said["y"], said["must"]) == (*best, True)


def test_figures_speak_of_what_they_show(state: State, view: CurvesView) -> None:
    state.paint([CELL], 0.2)
    attributes = view.figures.power.html_attributes
    assert attributes["role"] == "img"
    assert "Power against voltage of the whole array" in attributes["aria-label"]
    assert "change −2." in attributes["aria-label"]
    state.set_level("module")
    assert "string 1, module 4" in view.figures.power.html_attributes["aria-label"]


def test_the_magnified_difference_states_its_factor(state: State, view: CurvesView) -> None:
    state.paint([CELL], 0.98)
    view.show("difference")
    factor = float(shown(view)["difference"]["factor"].removeprefix("×").replace("\u202f", ""))
    low, high = shown(view)["axes"]["P"]
    small_low, small_high = shown(view)["axes"]["D"]
    assert factor >= 10.0
    assert (high - low) / (small_high - small_low) == pytest.approx(factor, rel=1e-9)  # exact by definition


def test_the_table_has_the_numbers_of_the_figure(state: State, view: CurvesView) -> None:
    state.paint([CELL], 0.2)
    state.set_level("module")
    view.show("table")
    rows = shown(view)["tables"][-1]["rows"]
    named = {row["name"]: row["cells"] for row in rows if row["name"]}
    assert set(named) == {"Isc", "Voc", "MPP", "peak"}
    best = level_curve(state.scenario, Place(1, 4)).mpp
    assert float(named["MPP"][0]) == pytest.approx(best.voltage_V, abs=0.0051)  # written to 0.01 V
    assert len(rows[0]["cells"]) == 7


def test_the_construction_ends_on_the_curve_drawn(state: State, view: CurvesView) -> None:
    state.paint([CELL], 0.2)
    view.show("parts")
    for level in SHOWN_LEVELS:
        state.set_level(level)
        parts = shown(view)["parts"]
        now = view.figures.now.data
        found = (
            np.interp(-parts["at"], -now["I"], now["V"])
            if parts["kind"] == "series"
            else np.interp(parts["at"], now["V"], now["I"])
        )
        width = now["V"][-1] - now["V"][0] if parts["kind"] == "series" else parts["total"]
        assert parts["total"] == pytest.approx(found, abs=5e-3 * abs(width))  # a polyline of 400 points
        assert parts["rows"][-1]["to"] == pytest.approx(parts["total"], abs=1e-5)  # solver tolerance


@pytest.mark.parametrize("demo", demo_names())
def test_every_view_of_every_level_of_every_site_can_be_shown(demo: str) -> None:
    state = State(read_demo(demo))
    view = CurvesView(state)
    state.paint([Place(1, 1, cell=1)], 0.0)
    for level in SHOWN_LEVELS:
        state.set_level(level)
        for name in CURVE_VIEWS:
            view.show(name)
            assert shown(view)["view"] == name


def test_the_dark_is_shown_too(state: State, view: CurvesView) -> None:
    state.set_light(irradiance_W_m2=0.0)
    for level in SHOWN_LEVELS:
        state.set_level(level)
        for panel in shown(view)["named"].values():
            assert all(hollow for *_at, hollow in panel["points"])
            assert not any(one["text"].startswith("MPP") for one in panel["labels"])


def test_an_array_of_several_trackers_has_no_single_point(state: State, view: CurvesView) -> None:
    state.set_array(tracking="per-string")
    assert len(shown(view)["held"]) == 1  # equal strings stand for each other
    state.paint([CELL], 0.2)
    assert len(shown(view)["held"]) == 2
    assert "2 trackers" in shown(view)["control"]["text"]
    state.set_level("string")
    assert len(shown(view)["held"]) == 1
    assert "2 trackers" in shown(view)["control"]["where"]


def test_where_nothing_adds_up_the_construction_says_why(state: State, view: CurvesView) -> None:
    view.show("parts")
    state.set_level("cell")
    state.break_part(CELL, "cell-open")
    assert shown(view)["parts"] is None
    assert "open" in shown(view)["partsNote"]
    state.set_level("module")
    assert shown(view)["parts"] is not None
    assert shown(view)["partsNote"] == ""


def test_an_earth_fault_leaves_no_plain_sum_but_a_curve(state: State, view: CurvesView) -> None:
    state.set_array(grounded="negative")
    fault = Fault("earth-fault", Place(1, 4), 1.0)
    state.replace(add_fault(state.scenario, fault))
    view.show("parts")
    assert "no plain sum" in shown(view)["partsNote"]
    state.set_level("string")
    say(view.root, "point", {"V": 150.0, "I": 8.0})
    assert state.scenario.operation.kind == "voltage"


# The operating point


def test_dragging_moves_the_array_and_is_one_step_to_undo(state: State, view: CurvesView) -> None:
    start = state.scenario
    say(view.root, "stroke", "begin")
    for k in range(5):
        say(view.root, "point", {"V": 200.0 + k, "I": 21.0})
    say(view.root, "stroke", "end")
    assert state.scenario.operation == Operation("voltage", 204.0)
    state.undo()
    assert state.scenario == start


def test_moving_the_operating_point_keeps_what_is_compared(state: State, view: CurvesView) -> None:
    state.paint([CELL], 0.2)
    change = key(view, "pmp")["change"]
    for volts in (200.0, 210.0, 220.0):
        state.set_operation("voltage", volts)
    assert key(view, "pmp")["change"] == change


def test_another_way_of_holding_keeps_the_point(state: State, view: CurvesView) -> None:
    for kind in ("current", "load", "voltage"):
        before = state.solution.trackers[0].point.voltage_V
        say(view.root, "operation", kind)
        assert state.scenario.operation.kind == kind
        after = state.solution.trackers[0].point.voltage_V
        assert after == pytest.approx(before, abs=0.5)  # values are rounded to five figures
    say(view.root, "operation", "mpp")
    assert state.scenario.operation == Operation("mpp")


def test_a_decimal_comma_is_understood_and_nonsense_is_told(state: State, view: CurvesView) -> None:
    say(view.root, "typed", "200,5")
    assert state.scenario.operation == Operation("voltage", 200.5)
    say(view.root, "typed", "much")
    assert state.scenario.operation == Operation("voltage", 200.5)
    assert "is not a number" in state.notice


@pytest.mark.parametrize(
    "value", [10**400, float("inf"), [], {}, None, "x"], ids=lambda value: str(value)[:9]
)
def test_a_message_that_is_none_of_this_page_s_changes_nothing(
    state: State, view: CurvesView, value: object
) -> None:
    before = state.scenario
    for name in ("slide", "cursor", "level", "view", "operation", "fit"):
        say(view.root, name, value)
    assert state.scenario == before


def test_the_control_says_which_diodes_conduct(state: State, view: CurvesView) -> None:
    state.paint([CELL], 0.2)
    assert "1 bypass diode conducts: 1/4/d1" in shown(view)["control"]["more"]
    state.set_operation("voltage", 320.0)
    assert shown(view)["control"]["more"] == "no bypass diode conducts"


@pytest.mark.parametrize("kind", ["diode-short", "diode-reversed"])
def test_the_control_says_which_diodes_let_current_run_back(
    state: State, view: CurvesView, kind: str
) -> None:
    state.break_part(Place(1, 4, diode=2), kind)
    assert shown(view)["control"]["more"] == "1 bypass diode lets current run back: 1/4/d2"


def test_a_locked_array_is_not_moved(state: State, view: CurvesView) -> None:
    state.locked = True
    say(view.root, "point", {"V": 200.0, "I": 21.0})
    assert state.scenario.operation == Operation("mpp")
    assert state.notice


# Messages, sessions


@pytest.mark.parametrize(
    ("do", "value"),
    [
        ("", None),
        ("point", None),
        ("level", "roof"),
        ("level", ["cell"]),
        ("view", "<b>"),
        ("point", {"V": "a", "I": None}),
        ("point", {"V": float("nan"), "I": 1.0}),
        ("point", 3),
        ("slide", "x"),
        ("slide", float("inf")),
        ("cursor", None),
        ("operation", {"kind": "magic"}),
        ("typed", {"a": 1}),
        ("stage", 4),
        ("stroke", ["begin"]),
    ],
)
def test_no_wish_from_outside_breaks_the_view(state: State, view: CurvesView, do: str, value: Any) -> None:
    before = state.scenario
    say(view.root, do, value)
    assert state.scenario == before
    shown(view)


def test_an_unchanged_curve_is_not_sent_again(state: State, view: CurvesView) -> None:
    state.paint([CELL], 0.2)
    sent = []
    for name in ("now", "before"):
        source_model = getattr(view.figures, name)
        source_model.on_change("data", lambda attr, old, new, name=name: sent.append(name))
    state.set_operation("voltage", 250.0)
    assert sent == []
    state.paint([CELL], 0.3)
    assert sorted(sent) == ["before", "now"]


def test_two_sessions_share_no_model(state: State) -> None:
    first, second = CurvesView(state), CurvesView(State(read_demo("workshop")))
    mine, theirs = ({one.ref["id"] for one in each.figures.current.references()} for each in (first, second))
    assert not mine & theirs


def test_a_closed_view_follows_no_longer_and_is_given_back(state: State) -> None:
    view = CurvesView(state)
    view.close()
    before = view.root.shown
    state.paint([CELL], 0.2)
    assert view.root.shown == before
    gone = weakref.ref(view)
    del view
    gc.collect()
    assert gone() is None


def test_a_picture_is_worked_out_without_a_page() -> None:
    solution = solve_array(read_demo("single-module"))
    made = picture(solution, None, Place(), "array", Choice(view="parts"), theme="dark")
    assert made.shown["parts"]["rows"]
    assert made.before == ()
