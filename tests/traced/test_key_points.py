"""Key figures of a traced curve are those of the solver, and noise moves them little."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pvsim.array import CATALOGUE, Place, level_curve
from pvsim.errors import FileError
from pvsim.sheet.residual import one_module
from pvsim.traced.key_points import key_points, noise_of
from pvsim.traced.residual import lay_beside
from pvsim.traced.shape import shape_deviations
from pvsim.traced.traced_curve import TracedCurve
from tests.traced.samples import MODULE, curve_of_bench, traced

SOLVED = curve_of_bench()


@pytest.mark.parametrize("kind", ["full-60", "half-144", "back-contact-72", "hetero-120", "full-36"])
def test_key_figures_without_noise_are_the_solvers(kind):
    solved = level_curve(one_module(CATALOGUE[kind], "bench"), MODULE)
    found = key_points(traced(solved, points=200))
    assert found.isc_A == pytest.approx(solved.isc_A, rel=1e-3)
    assert found.voc_V == pytest.approx(solved.voc_V, rel=2e-3)
    assert found.pmp_W == pytest.approx(solved.mpp.power_W, rel=1e-3)
    assert found.vmp_V == pytest.approx(solved.mpp.voltage_V, rel=3e-3)
    assert found.imp_A == pytest.approx(solved.mpp.current_A, rel=3e-3)
    assert found.fill_factor == pytest.approx(solved.fill_factor, rel=3e-3)


@pytest.mark.parametrize("kind", ["full-60", "back-contact-72"])
def test_a_curve_that_goes_on_beyond_its_axes_has_the_same_key_figures(kind):
    """As pvsim writes it to a file: below 0 V bypass diodes add their current, which is none of Isc."""
    solved = level_curve(one_module(CATALOGUE[kind], "bench"), MODULE)
    assert solved.voltage_V[0] < 0.0 < solved.current_A[0] - solved.isc_A
    found = key_points(TracedCurve(voltage_V=solved.voltage_V, current_A=solved.current_A))
    assert found.isc_A == pytest.approx(solved.isc_A, rel=1e-3)
    assert found.voc_V == pytest.approx(solved.voc_V, rel=2e-3)
    assert found.slope_at_isc_A_per_V * solved.voc_V == pytest.approx(0.0, abs=0.01 * solved.isc_A)


@pytest.mark.parametrize("spacing", ["even", "closer at the end"])
@pytest.mark.parametrize("ends_at", [0.97, 1.0, 1.01])
@pytest.mark.parametrize("points", [6, 8, 10, 12, 15, 20, 30])
def test_few_points_as_a_class_takes_by_hand_give_key_figures_too(points, ends_at, spacing):
    """Measured with a load resistor: one or two points are steep, and three are near the top."""
    share = np.linspace(0.0, 1.0, points)
    share = share if spacing == "even" else np.sin(0.5 * np.pi * share) * 0.999 + 0.001 * share
    V = ends_at * SOLVED.voc_V * share
    found = key_points(
        TracedCurve(voltage_V=V, current_A=np.interp(V, SOLVED.voltage_V, SOLVED.current_A))
    )
    assert found.isc_A == pytest.approx(SOLVED.isc_A, rel=2e-3)
    assert found.voc_V == pytest.approx(SOLVED.voc_V, rel=0.02)
    assert found.pmp_W == pytest.approx(SOLVED.mpp.power_W, rel=0.03)
    assert found.imp_A == pytest.approx(SOLVED.mpp.current_A, rel=0.05)
    assert found.imp_A < found.isc_A


@pytest.mark.parametrize("points", [5, 6, 8, 10, 12, 15])
def test_few_points_of_a_sound_module_are_not_called_low_in_voltage(points):
    V = np.linspace(0.0, 0.98 * SOLVED.voc_V, points)
    I = np.interp(V, SOLVED.voltage_V, SOLVED.current_A)
    named = set()
    for seed in range(10):
        noise = 0.003 * SOLVED.isc_A * np.random.default_rng(seed).standard_normal(points)
        curve = TracedCurve(voltage_V=V, current_A=I + noise)
        named |= {one.shape for one in shape_deviations(curve, SOLVED).all if one.named}
    assert "low-voltage" not in named
    assert "low-current" not in named


def test_the_slopes_of_straight_flanks_are_found():
    V = np.linspace(0.0, 20.0, 201)
    I = np.minimum(8.0 - 0.05 * V, (20.0 - V) / 0.4)  # a shunt of 20 ohm, and 0.4 ohm in series
    found = key_points(TracedCurve(voltage_V=V, current_A=I))
    assert found.slope_at_isc_A_per_V == pytest.approx(-0.05, rel=1e-6)
    assert found.slope_at_voc_V_per_A == pytest.approx(-0.4, rel=1e-3)
    assert (found.isc_A, found.voc_V) == (pytest.approx(8.0), pytest.approx(20.0))


def test_noise_moves_key_figures_by_a_fraction_of_a_point():
    solved = curve_of_bench()
    found = [key_points(traced(solved, seed, voltage=0.0)) for seed in range(100)]
    spread = {name: np.std([getattr(one, name) for one in found]) for name in ("isc_A", "voc_V", "pmp_W")}
    # A single point has 0.5 % of Isc; a line through its 35 flat neighbours has a third of that at its end.
    assert spread["isc_A"] < 0.002 * solved.isc_A
    assert spread["voc_V"] < 0.001 * solved.voc_V
    assert spread["pmp_W"] < 0.003 * solved.mpp.power_W


def test_single_bad_points_hardly_count():
    solved = curve_of_bench()
    plain = traced(solved)
    I = plain.current_A.copy()
    I[[5, 20]] += 0.3 * solved.isc_A
    found = key_points(TracedCurve(voltage_V=plain.voltage_V, current_A=I))
    assert found.isc_A == pytest.approx(solved.isc_A, rel=2e-3)
    assert found.pmp_W == pytest.approx(solved.mpp.power_W, rel=2e-3)


@pytest.mark.parametrize("voltage", [0.0, 0.005])
def test_noise_is_found_on_both_axes(voltage):
    solved = curve_of_bench()
    found = [noise_of(traced(solved, seed, voltage=voltage)) for seed in range(50)]
    assert np.median([one.current_A for one in found]) == pytest.approx(0.005 * solved.isc_A, rel=0.1)
    assert np.median([one.voltage_V for one in found]) == pytest.approx(
        voltage * solved.voc_V, rel=0.25, abs=0.001 * solved.voc_V
    )


def test_the_greatest_of_several_maxima_is_found():
    solved = curve_of_bench(painted=[(Place(1, 1, 5), 0.5)])
    assert len(solved.mpps) == 2
    found = key_points(traced(solved, points=200))
    assert found.pmp_W == pytest.approx(solved.mpp.power_W, rel=3e-3)
    assert found.voc_V == pytest.approx(solved.voc_V, rel=3e-3)


@settings(max_examples=100, deadline=None)
@given(
    steps=st.lists(st.floats(1e-3, 10.0), min_size=6, max_size=40),
    currents=st.lists(st.floats(-12.0, 12.0), min_size=6, max_size=40),
    falling=st.booleans(),
)
def test_any_points_give_key_figures_or_one_sentence(steps, currents, falling):
    count = min(len(steps), len(currents))
    I = np.sort(currents[:count])[::-1] if falling else np.array(currents[:count])
    curve = TracedCurve(voltage_V=np.cumsum(steps[:count]) - steps[0], current_A=I)
    try:
        points, noise = key_points(curve), noise_of(curve)
        lay_beside(curve, SOLVED)
        shape_deviations(curve, SOLVED)
    except FileError as error:
        assert 20 < len(str(error)) < 1_000
        return
    assert np.isfinite([points.isc_A, points.voc_V, points.pmp_W, points.slope_at_voc_V_per_A]).all()
    assert np.isfinite([noise.current_A, noise.voltage_V]).all()


@pytest.mark.parametrize(
    ("V", "I"),
    [
        pytest.param(np.linspace(0, 10, 20), -np.ones(20), id="no-power"),
        pytest.param(np.linspace(0, 10, 20), np.full(20, 8.0), id="no-open-circuit"),
        pytest.param(np.linspace(15, 20, 20), np.linspace(8, 0, 20), id="no-short-circuit"),
        pytest.param(np.linspace(-20, -1, 20), np.linspace(8, 7, 20), id="reverse-alone"),
    ],
)
def test_a_curve_that_misses_an_axis_is_refused(V, I):
    with pytest.raises(FileError, match="no short circuit or no open circuit"):
        key_points(TracedCurve(voltage_V=V, current_A=I))


def test_a_steep_end_in_noise_is_an_open_circuit():
    """Two substrings bypassed, 2 % of noise: what was measured at the highest voltage carried most of Isc."""
    from pvsim.benchmark.planted import measured, plant, solved

    case = plant("module", "bypassed", 900_021)
    curve = measured(solved(case), case.seed, 0.02)
    assert curve.current_A[-1] > 0.5 * curve.current_A.max()
    assert key_points(curve).voc_V == pytest.approx(solved(case).voc_V, rel=0.04)  # twice the noise


def test_voltages_that_leap_over_zero_are_read_or_refused_in_one_sentence() -> None:
    """Noise may leave no point between the lowest and the highest voltages that are taken for flat."""
    V = np.concatenate([[-9.0, -8.0, -7.0], np.linspace(20.0, 40.0, 9)])
    I = np.concatenate([np.full(8, 9.0), [8.0, 6.0, 3.0, 0.0]])
    for voltage, current in ((V, I), (V[::-1].copy(), I[::-1].copy())):
        try:
            found = key_points(TracedCurve(voltage_V=voltage, current_A=current))
        except FileError as error:
            assert error.mend
        else:
            assert 0.0 < found.isc_A < 12.0
