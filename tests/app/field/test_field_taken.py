"""What an act takes besides numbers: kept with the log, of the array as it stood then."""

from __future__ import annotations

import numpy as np
import pytest

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")

from pvsim.app.field.picture import picture_values
from pvsim.app.session.state import State
from pvsim.array.array import Array, Module, String
from pvsim.array.place import Place
from pvsim.array.scenario import Scenario
from pvsim.circuit import operate
from pvsim.field.search.act import Act
from pvsim.field.thermogram import Thermogram
from pvsim.field.trace import Trace
from pvsim.reading.curve import circuit_of

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


def test_what_was_refused_takes_nothing(state: State) -> None:
    state.measure(Act(kind="trace", place=Place(1)))
    assert state.field.transcript.lines[-1].refused
    assert state.field.curve is None


def test_a_new_log_has_neither_picture_nor_curve(state: State) -> None:
    state.measure(Act(kind="picture", place=Place(1)))
    state.clear_log()
    assert state.field.picture is None
    assert picture_values(state.field) == {}
