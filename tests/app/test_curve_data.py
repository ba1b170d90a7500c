"""What the curves show: differences, axes, key figures, checked against closed forms and laws."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.app.views.curve_data import (
    axes_around,
    axes_of,
    changes,
    decimals_for,
    difference,
    leaves_axes,
    magnified,
    on_curve,
    reach,
    widest_gap,
)
from pvsim.array import level_curve, paint, parse_place
from pvsim.array.catalogue import CATALOGUE
from pvsim.circuit import Cell, Characteristic, Parallel, Series, Turned, operate, solve
from tests.workshop_roof import workshop_roof

TYPE = CATALOGUE["full-60"].cell
DIODE = CATALOGUE["full-60"].substrings[0].diode


def module(*irradiance_W_m2: float) -> Parallel | Series:
    """Three substrings of ten cells; the first cell of each has the light given."""
    assert DIODE is not None
    parts = []
    for light in irradiance_W_m2:
        cells = (Cell(type=TYPE, irradiance_W_m2=light), *[Cell(type=TYPE)] * 9)
        parts.append(Parallel((Series(cells), DIODE)))
    return Series(tuple(parts))


SOUND = module(1000.0, 1000.0, 1000.0)
SHADED = module(200.0, 1000.0, 1000.0)


@pytest.fixture(scope="module")
def sound() -> Characteristic:
    return solve(SOUND)


@pytest.fixture(scope="module")
def shaded() -> Characteristic:
    return solve(SHADED)


@pytest.mark.parametrize(
    ("scale", "decimals"), [(0.6, 3), (9.1, 3), (38.0, 2), (326.0, 1), (5440.0, 1), (0.0, 1)]
)
def test_numbers_keep_about_four_figures(scale: float, decimals: int) -> None:
    assert decimals_for(scale) == decimals


def test_changes_are_the_key_figures_now_and_before(
    sound: Characteristic, shaded: Characteristic
) -> None:
    found = {one.key: one for one in changes(shaded, sound)}
    assert list(found) == ["isc", "voc", "imp", "vmp", "pmp", "ff"]
    assert found["pmp"].now == shaded.mpp.power_W
    assert found["pmp"].before == sound.mpp.power_W
    assert found["ff"].now == pytest.approx(
        found["imp"].now * found["vmp"].now / (found["isc"].now * found["voc"].now),
        rel=1e-12,  # the definition of the fill factor
    )


def test_without_an_earlier_curve_there_is_nothing_before(sound: Characteristic) -> None:
    assert all(one.before is None for one in changes(sound, None))


def test_a_curve_does_not_differ_from_itself(sound: Characteristic) -> None:
    change = difference(sound, sound, "power")
    assert not change.value.any()
    assert change.peak == change.least == change.most == 0.0


@pytest.mark.parametrize("quantity", ["current", "power"])
def test_a_difference_changes_sign_when_now_and_before_change_places(
    sound: Characteristic, shaded: Characteristic, quantity: str
) -> None:
    there, back = difference(shaded, sound, quantity), difference(sound, shaded, quantity)
    np.testing.assert_array_equal(there.voltage_V, back.voltage_V)
    np.testing.assert_array_equal(there.value, -back.value)
    assert there.peak < 0.0 < back.peak


def test_the_difference_is_what_the_solver_finds_at_that_voltage(
    sound: Characteristic, shaded: Characteristic
) -> None:
    change = difference(shaded, sound, "current")
    now = operate(SHADED, voltage_V=change.peak_V).current_A
    before = operate(SOUND, voltage_V=change.peak_V).current_A
    # Both curves are drawn by 400 straight lines.
    assert change.peak == pytest.approx(now - before, abs=5e-3 * sound.isc_A)


def test_power_differs_by_current_times_voltage(sound: Characteristic, shaded: Characteristic) -> None:
    amperes, watts = difference(shaded, sound, "current"), difference(shaded, sound, "power")
    np.testing.assert_allclose(
        watts.value,
        amperes.value * amperes.voltage_V,
        atol=1e-9 * sound.mpp.power_W,  # rounding of sums
    )


def test_a_difference_between_curves_of_other_reach_stays_where_both_are(sound: Characteristic) -> None:
    short = solve(SOUND, window=(5.0, 10.0))
    change = difference(short, sound, "power")
    assert change.voltage_V[0] >= 5.0
    assert change.voltage_V[-1] <= 10.0


def test_the_factor_makes_a_small_difference_fill_its_figure(sound: Characteristic) -> None:
    dimmer = solve(module(999.0, 1000.0, 1000.0))
    axes = axes_of(sound)
    change = difference(dimmer, sound, "power")
    factor, (low, high) = magnified([change], axes.power_W)
    width = axes.power_W[1] - axes.power_W[0]
    assert factor > 50.0
    assert high - low == pytest.approx(width / factor, rel=1e-12)  # the factor is exact
    assert low < change.least < 0.0
    # The next step up (2 or 2.5 times) would leave its side of the zero line.
    assert abs(change.least) > 0.85 * -low / 2.5


def test_the_factor_is_one_for_no_difference_at_all(sound: Characteristic) -> None:
    factor, (low, high) = magnified([difference(sound, sound, "power")], (0.0, 100.0))
    assert factor == 1.0
    assert (low, high) == (-50.0, 50.0)


def test_axes_hold_all_key_points_of_the_unbroken_part(sound: Characteristic) -> None:
    axes = axes_of(sound)
    assert axes.voltage_V[0] < 0.0
    assert sound.voc_V < axes.voltage_V[1]
    assert axes.current_A[0] < 0.0
    assert sound.isc_A < axes.current_A[1]
    assert axes.power_W[0] < 0.0
    assert sound.mpp.power_W < axes.power_W[1]
    assert not leaves_axes(sound, axes)


def test_reverse_axes_end_at_the_breakdown_of_a_cell() -> None:
    cell = solve(Cell(type=TYPE))
    axes = axes_of(cell, reverse=True, breakdown_V=TYPE.breakdown_voltage_V)
    assert 1.1 * TYPE.breakdown_voltage_V < axes.voltage_V[0] < 0.5 * TYPE.breakdown_voltage_V
    assert axes.power_W[0] < -20.0  # some 10 A at more than 10 V


def test_a_brighter_curve_asks_for_other_axes_and_fits_them(sound: Characteristic) -> None:
    bright = solve(Series(tuple([Cell(type=TYPE, irradiance_W_m2=1400.0)] * 30)))
    assert leaves_axes(bright, axes_of(sound))
    assert not leaves_axes(bright, axes_around(bright, sound))
    assert not leaves_axes(sound, axes_around(bright, sound))


def test_axes_around_a_source_the_wrong_way_round_are_mirrored(sound: Characteristic) -> None:
    back = solve(Turned(sound.circuit), window=(-sound.voltage_V[-1], -sound.voltage_V[0]))
    ahead, around = axes_around(sound), axes_around(back)
    assert around.voltage_V == pytest.approx((-ahead.voltage_V[1], -ahead.voltage_V[0]), rel=1e-6)
    assert around.current_A == pytest.approx((-ahead.current_A[1], -ahead.current_A[0]), rel=1e-6)
    # The greatest point of the curve lies a little below the maximum between its points.
    assert around.power_W == pytest.approx(ahead.power_W, rel=1e-2)
    assert leaves_axes(back, axes_of(sound))
    assert not leaves_axes(back, around)
    both = axes_around(back, sound)
    assert not leaves_axes(back, both)
    assert not leaves_axes(sound, both)


def test_axes_of_the_dark_are_no_point(sound: Characteristic) -> None:
    dark = solve(Cell(type=TYPE, irradiance_W_m2=0.0))
    axes = axes_around(dark)
    for low, high in (axes.voltage_V, axes.current_A, axes.power_W):
        assert np.isfinite([low, high]).all()
        assert low < high


def test_a_shaded_cell_is_drawn_up_to_the_current_of_its_neighbours() -> None:
    cell = Cell(type=TYPE, irradiance_W_m2=100.0)
    axes = axes_of(solve(Cell(type=TYPE)), reverse=True, breakdown_V=TYPE.breakdown_voltage_V)
    curve = reach(cell, solve(cell), axes)
    top = curve.current_A[0] >= axes.current_A[1] or curve.voltage_V[0] <= axes.voltage_V[0] + 1e-9
    bottom = curve.current_A[-1] <= axes.current_A[0] or curve.voltage_V[-1] >= axes.voltage_V[1] - 1e-9
    assert top
    assert bottom


def test_a_curve_that_fills_its_axes_is_not_solved_again(sound: Characteristic) -> None:
    axes = axes_of(sound)
    whole = reach(SOUND, sound, axes)
    assert whole is sound or whole.voltage_V[0] >= axes.voltage_V[0]
    assert reach(SOUND, whole, axes) is whole or len(whole.voltage_V) == 400


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
    ahead, whole = difference(now, before, "power"), difference(now, before, "power", reverse=axes)
    assert ahead.peak_V >= 0.0
    assert whole.least <= ahead.least
    assert whole.most > ahead.most  # it eats less at a given reverse voltage, as it carries less
    _, axis = magnified([whole], axes.power_W)
    assert axis[0] <= whole.least <= whole.most <= axis[1]
