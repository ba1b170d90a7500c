"""Characteristics as a tracer takes them, beside those of the circuit."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.array import (
    WHOLE_ARRAY,
    ArraySolution,
    Fault,
    Place,
    add_fault,
    set_array,
    set_light,
    solve_array,
)
from pvsim.errors import ScenarioError
from pvsim.field import trace_curve
from pvsim.field.kit import TRACER_CURRENT, TRACER_VOLTAGE
from pvsim.files import read_demo
from pvsim.reading import own_curve

ROOF = read_demo("workshop")


@pytest.fixture(scope="module")
def sound() -> ArraySolution:
    return solve_array(ROOF)


@pytest.mark.parametrize("place", [WHOLE_ARRAY, Place(2), Place(2, 3)])
def test_a_trace_lies_about_the_circuits_own_curve(sound: ArraySolution, place: Place) -> None:
    curve = own_curve(sound, place)
    for serial in (1, 2):
        trace = trace_curve(sound, place, serial=serial, points=60)
        assert len(trace.voltage_V) == len(trace.current_A) == len(trace.power_W) == 60
        steep = np.abs(
            np.interp(trace.voltage_V, curve.voltage_V, np.gradient(curve.current_A, curve.voltage_V))
        )
        off = trace.current_A - np.interp(trace.voltage_V, curve.voltage_V, curve.current_A)
        u = np.hypot(trace.current_uncertainty_A, steep * trace.voltage_uncertainty_V)
        assert np.abs(off / u).max() < 5.0
        assert trace.power_W.max() == pytest.approx(curve.mpp.power_W, rel=0.02)
        assert not trace.over_range
        assert abs(trace.irradiance.value - 1000.0) < 60.0
        assert abs(trace.temperature.value - 25.0) < 2.5


def test_points_stand_from_short_circuit_to_open_circuit_and_half_beyond_the_knee(
    sound: ArraySolution,
) -> None:
    trace = trace_curve(sound, Place(1), serial=1, points=100)
    voc_V = own_curve(sound, Place(1)).voc_V
    assert trace.voltage_V[0] == pytest.approx(0.0, abs=3.0)
    assert trace.voltage_V[-1] == pytest.approx(voc_V, rel=0.01)
    assert (trace.voltage_V > 0.8 * voc_V).sum() == pytest.approx(50, abs=2)


def test_noise_of_the_points_is_that_of_its_meters(sound: ArraySolution) -> None:
    """One tracer, many traces: what differs from one to the next at a point is noise and steps."""
    many = [trace_curve(sound, Place(1), serial=3, number=k, points=5) for k in range(400)]
    V, I = np.stack([one.voltage_V for one in many]), np.stack([one.current_A for one in many])
    for values, kind, number in ((V, TRACER_VOLTAGE, 1), (I, TRACER_CURRENT, 0)):
        one = kind.ranges[number]
        expected = np.hypot(one.noise, one.step / np.sqrt(12.0))
        assert values.std(axis=0) == pytest.approx(np.full(5, expected), rel=0.15)
        for a in range(4):
            assert abs(np.corrcoef(values[:, a], values[:, a + 1])[0, 1]) < 4.0 / np.sqrt(400)


def test_two_tracers_differ_by_their_own_gain(sound: ArraySolution) -> None:
    first, second = (trace_curve(sound, Place(1), serial=serial, points=40) for serial in (10, 11))
    flat = slice(1, 15)
    ratio = first.current_A[flat] / second.current_A[flat]
    assert ratio.mean() != pytest.approx(1.0, abs=3e-4)
    assert ratio.std() < 3e-3


def test_a_bypassed_substring_is_a_step_in_the_trace(sound: ArraySolution) -> None:
    broken = solve_array(add_fault(ROOF, Fault("cell-open", Place(2, 3, cell=5))))
    before, after = (trace_curve(one, Place(2), serial=1) for one in (sound, broken))
    lost_V = own_curve(sound, Place(2)).voc_V - own_curve(broken, Place(2)).voc_V
    assert before.voltage_V[-1] - after.voltage_V[-1] == pytest.approx(lost_V, abs=3.0)
    assert lost_V > 10.0


def test_in_the_dark_there_is_a_trace_of_nothing() -> None:
    dark = solve_array(set_light(ROOF, irradiance_W_m2=0.0))
    trace = trace_curve(dark, Place(1), serial=1, points=10)
    assert np.abs(trace.current_A).max() < 0.2
    assert np.abs(trace.voltage_V).max() < 1.0


def test_what_cannot_be_traced_is_refused(sound: ArraySolution) -> None:
    with pytest.raises(ScenarioError, match="a module, a string or the array"):
        trace_curve(sound, Place(1, 1, cell=1), serial=1)
    for points in (2, 1_001, 2.5):
        with pytest.raises(ScenarioError, match="points of the sweep is"):
            trace_curve(sound, Place(1), serial=1, points=points)
    with pytest.raises(ScenarioError, match="serial of the reading"):
        trace_curve(sound, Place(1), serial=-1)
    apart = solve_array(set_array(ROOF, tracking="per-string"))
    with pytest.raises(ScenarioError, match="a tracker for each string"):
        trace_curve(apart, WHOLE_ARRAY, serial=1)
