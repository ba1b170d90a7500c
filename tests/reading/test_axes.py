"""How far curves are shown: what the axes hold, and curves that fill them."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.circuit import Cell, Characteristic, Series, Turned, solve
from pvsim.reading import axes_around, axes_of, leaves_axes, reach
from tests.reading.shaded_module import SOUND, TYPE


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
