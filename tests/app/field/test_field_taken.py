"""What an act takes besides numbers: kept with the log, of the array as it stood then."""

from __future__ import annotations

from base64 import b64decode

import numpy as np
import pytest

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")

from pvsim.app.field.curve import curve_csv, curve_values, draw_curve
from pvsim.app.field.picture import picture_values
from pvsim.app.field.view import FieldView
from pvsim.app.session.state import State
from pvsim.array.array import Array, Module, String
from pvsim.array.change import add_fault
from pvsim.array.fault import Fault
from pvsim.array.place import Place
from pvsim.array.scenario import Scenario
from pvsim.array.weather import Weather
from pvsim.circuit import operate
from pvsim.field.search.act import Act
from pvsim.field.thermogram import Thermogram
from pvsim.field.trace import Trace
from pvsim.reading.curve import circuit_of
from pvsim.traced.columns import propose
from pvsim.traced.key_points import key_points
from pvsim.traced.traced_curve import read_traced
from tests.app.wishes import say

SAFELY = (Act(kind="stop"), Act(kind="open-switch"), Act(kind="prove-zero"))


@pytest.fixture
def state() -> State:
    strings = (String(modules=(Module("full-36"),) * 2),) * 2
    return State(Scenario(title="A shed", array=Array(strings=strings)))


def test_a_picture_is_of_the_array_as_it_stood_when_it_was_taken(state: State) -> None:
    state.measure(Act(kind="picture", place=Place(1, 1)))
    taken = state.field.picture
    assert taken is not None
    assert isinstance(taken.shown, Thermogram)
    before = picture_values(state.field)
    state.paint([Place(1, 1)], 0.2)
    state.measure(Act(kind="read", what="power"))
    assert picture_values(state.field) == before
    state.measure(Act(kind="picture", place=Place(1, 1)))
    assert picture_values(state.field)["shades"] != before["shades"]


def test_a_trace_is_the_curve_of_the_part_alone(state: State) -> None:
    """Held to the part's own circuit, within what the tracer says of itself."""
    for act in (*SAFELY, Act(kind="separate", place=Place(1)), Act(kind="trace", place=Place(1))):
        state.measure(act)
    taken = state.field.curve
    assert taken is not None
    trace = taken.shown
    assert isinstance(trace, Trace)
    assert (taken.place, taken.number) == (Place(1), 4)
    found = state.field.transcript.lines[4].found
    assert (found[0].reading.value, found[1].reading.value) == (trace.current_A[0], trace.voltage_V[-1])
    circuit = circuit_of(state.solution, Place(1))
    true_A = np.array([operate(circuit, voltage_V=v).current_A for v in trace.voltage_V[:40:8].tolist()])
    assert np.abs(trace.current_A[:40:8] - true_A).max() < 4.0 * trace.current_uncertainty_A[:40].max()


def traced(state: State, place: Place) -> Trace:
    for act in (*SAFELY, Act(kind="separate", place=Place(place.string)), Act(kind="trace", place=place)):
        state.measure(act)
    assert state.field.curve is not None
    trace = state.field.curve.shown
    assert isinstance(trace, Trace)
    return trace


def test_a_traced_curve_is_a_file_that_a_measured_curve_is_read_from(state: State) -> None:
    trace = traced(state, Place(1, 2))
    text = curve_csv(state.field, "A shed")
    found = propose(text, "curve.csv")
    curve = read_traced(text, found.mapping, "curve.csv")
    assert curve.irradiance_W_m2 == pytest.approx(trace.irradiance.value, abs=0.06)
    assert curve.temperature_C == pytest.approx(trace.temperature.value, abs=0.06)
    points, best = key_points(curve), trace.power_W.max()
    assert points.pmp_W == pytest.approx(best, rel=0.01)  # a fit through noisy points, and their greatest
    assert points.isc_A == pytest.approx(trace.current_A[0], rel=0.01)
    assert points.voc_V == pytest.approx(trace.voltage_V[-1], rel=0.01)


def test_the_desk_hands_a_traced_curve_on_to_be_compared(state: State) -> None:
    view = FieldView(state)
    state.open_field()
    assert view.root.curve.values == {}
    say(view.root, "compare")
    assert state.notice  # there is none
    traced(state, Place(1))
    shown = view.root.curve.values
    assert shown["figure"].count("<circle") > 20
    assert shown["where"] == "string 1"
    answer = say(view.root, "compare")
    assert answer["curve"].endswith("-curve.csv")
    assert answer["text"] == curve_csv(state.field, state.scenario.title)
    view.close()


def test_in_a_search_a_traced_curve_is_shown_and_not_ranked(state: State) -> None:
    state.begin_search(7, 1)
    traced(state, Place(1))
    assert not curve_values(state.field)["comparable"]
    view = FieldView(state)
    state.open_field()
    assert "curve" not in say(view.root, "compare")
    view.close()


def test_a_string_that_gives_nothing_has_a_curve_all_the_same() -> None:
    dark = State(Scenario(title="A shed", array=Array(strings=(String(modules=(Module("full-36"),)),) * 2)))
    dark.paint([Place(1)], 0.0)
    drawing = draw_curve(traced(dark, Place(1)))
    assert drawing.marks
    assert "0" in drawing.description


def test_what_was_refused_takes_nothing(state: State) -> None:
    state.measure(Act(kind="trace", place=Place(1)))
    assert state.field.transcript.lines[-1].refused
    assert state.field.curve is None


def test_a_new_log_has_neither_picture_nor_curve(state: State) -> None:
    state.measure(Act(kind="picture", place=Place(1)))
    state.clear_log()
    assert state.field.picture is None
    assert picture_values(state.field) == {}


def test_a_module_in_less_light_is_not_taken_for_the_roof_beside_it() -> None:
    """Soiling takes kelvins from one module of three: it has a colour of its own all the same."""
    string = String(modules=(Module("full-36"),) * 3)
    weather = Weather(heat="steady", ambient_temperature_C=8.0, wind_m_s=3.0)
    shed = Scenario(title="A shed", array=Array(strings=(string,), modules_per_row=3), weather=weather)
    state = State(add_fault(shed, Fault("soiling", Place(1, 1), 0.3)))
    state.measure(Act(kind="picture", place=Place(1)))
    shown = picture_values(state.field)
    shades = np.frombuffer(b64decode(shown["shades"]), dtype=np.uint8).reshape(
        shown["rows"], shown["columns"]
    )
    third = shown["columns"] // 3
    dirty, clean = shades[5:-5, 5 : third - 5], shades[5:-5, third + 5 : 2 * third - 5]
    assert 10 < np.median(dirty) < np.median(clean) - 20
