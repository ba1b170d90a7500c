"""What has changed on a curve, against the solver and against laws."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.array import level_curve, paint, parse_place
from pvsim.circuit import Cell, Characteristic, operate, solve
from pvsim.reading import axes_of, difference_of, magnified, on_curve, widest_gap
from tests.reading.shaded_module import SHADED, SOUND, TYPE, module
from tests.workshop_roof import workshop_roof


def test_a_curve_does_not_differ_from_itself(sound: Characteristic) -> None:
    change = difference_of(sound, sound, "power")
    assert not change.value.any()
    assert change.peak == change.least == change.most == 0.0


@pytest.mark.parametrize("quantity", ["current", "power"])
def test_a_difference_changes_sign_when_now_and_before_change_places(
    sound: Characteristic, shaded: Characteristic, quantity: str
) -> None:
    there, back = difference_of(shaded, sound, quantity), difference_of(sound, shaded, quantity)
    np.testing.assert_array_equal(there.voltage_V, back.voltage_V)
    np.testing.assert_array_equal(there.value, -back.value)
    assert there.peak < 0.0 < back.peak


def test_the_difference_is_what_the_solver_finds_at_that_voltage(
    sound: Characteristic, shaded: Characteristic
) -> None:
    change = difference_of(shaded, sound, "current")
    now = operate(SHADED, voltage_V=change.peak_V).current_A
    before = operate(SOUND, voltage_V=change.peak_V).current_A
    # Both curves are drawn by 400 straight lines.
    assert change.peak == pytest.approx(now - before, abs=5e-3 * sound.isc_A)


def test_power_differs_by_current_times_voltage(sound: Characteristic, shaded: Characteristic) -> None:
    amperes, watts = difference_of(shaded, sound, "current"), difference_of(shaded, sound, "power")
    np.testing.assert_allclose(
        watts.value,
        amperes.value * amperes.voltage_V,
        atol=1e-9 * sound.mpp.power_W,  # rounding of sums
    )


def test_a_difference_between_curves_of_other_reach_stays_where_both_are(sound: Characteristic) -> None:
    short = solve(SOUND, window=(5.0, 10.0))
    change = difference_of(short, sound, "power")
    assert change.voltage_V[0] >= 5.0
    assert change.voltage_V[-1] <= 10.0


def test_the_factor_makes_a_small_difference_fill_its_figure(sound: Characteristic) -> None:
    dimmer = solve(module(999.0, 1000.0, 1000.0))
    axes = axes_of(sound)
    change = difference_of(dimmer, sound, "power")
    factor, (low, high) = magnified([change], axes.power_W)
    width = axes.power_W[1] - axes.power_W[0]
    assert factor > 50.0
    assert high - low == pytest.approx(width / factor, rel=1e-12)  # the factor is exact
    assert low < change.least < 0.0
    # The next step up (2 or 2.5 times) would leave its side of the zero line.
    assert abs(change.least) > 0.85 * -low / 2.5


def test_the_factor_is_one_for_no_difference_at_all(sound: Characteristic) -> None:
    factor, (low, high) = magnified([difference_of(sound, sound, "power")], (0.0, 100.0))
    assert factor == 1.0
    assert (low, high) == (-50.0, 50.0)


def test_current_is_read_linearly_between_points(sound: Characteristic) -> None:
    V = 0.5 * (sound.voltage_V[100] + sound.voltage_V[101])
    I = on_curve(sound, np.array([V]), "current")[0]
    assert pytest.approx(0.5 * (sound.current_A[100] + sound.current_A[101]), rel=1e-12) == I  # a mean
    assert on_curve(sound, np.array([V]), "power")[0] == pytest.approx(V * I, rel=1e-12)  # P = V I


def test_the_earlier_curve_is_named_where_it_is_farthest(
    sound: Characteristic, shaded: Characteristic
) -> None:
    point = widest_gap(shaded, sound, axes_of(sound))
    assert point is not None
    gap = abs(on_curve(shaded, np.array([point.voltage_V]), "current")[0] - point.current_A)
    assert gap > 0.5 * sound.isc_A
    assert widest_gap(sound, sound, axes_of(sound)) is None


def test_one_curve_drawn_from_other_points_is_not_named_as_the_earlier_one() -> None:
    cell = Cell(type=TYPE)
    fine, coarse = (solve(cell, points=points, window=(-14.0, 0.74)) for points in (400, 37))
    axes = axes_of(fine, reverse=True, breakdown_V=TYPE.breakdown_voltage_V)
    up = np.abs(on_curve(fine, coarse.voltage_V, "current") - coarse.current_A)
    assert up.max() > 0.0
    assert widest_gap(fine, coarse, axes) is None


def test_a_difference_counts_the_reverse_side_only_where_that_is_shown() -> None:
    scenario = workshop_roof()
    place = parse_place("1/4/14")
    now, before = (level_curve(one, place) for one in (paint(scenario, [place], 0.2), scenario))
    axes = axes_of(before, reverse=True, breakdown_V=-15.0)
    ahead, whole = difference_of(now, before, "power"), difference_of(now, before, "power", reverse=axes)
    assert ahead.peak_V >= 0.0
    assert whole.least <= ahead.least
    assert whole.most > ahead.most  # it eats less at a given reverse voltage, as it carries less
    _, axis = magnified([whole], axes.power_W)
    assert axis[0] <= whole.least <= whole.most <= axis[1]
