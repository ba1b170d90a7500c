"""Which stretch of a curve is shown, and where its points lie."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.circuit import Cell, Parallel, Series, Turned, solve
from pvsim.circuit.window import evenly_drawn, window_of
from tests.circuit.samples import BYPASS, PLAIN

STRING = Series((Parallel((Series((Cell(type=PLAIN),) * 18), BYPASS)),) * 3)


def test_a_straight_line_is_shown_15_percent_beyond_both_axes() -> None:
    # 20 V behind 2 ohm: Isc 10 A.
    least, most = window_of(lambda I: 20.0 - 2.0 * I, 10.0, 20.0)
    assert (least, most) == pytest.approx((20.0 - 2.0 * 11.5, 20.0 + 2.0 * 1.5))


def test_a_flat_curve_is_cut_within_reason() -> None:
    # No cell lets more than Isc through, no diode current back.
    least, most = window_of(lambda I: 20.0 - 1e4 * (I - np.clip(I, 0.0, 1.0)), 1.0, 20.0)
    assert (least, most) == (-40.0, 60.0)


def test_a_source_the_wrong_way_round_is_shown_mirrored() -> None:
    def ahead(I: np.ndarray) -> np.ndarray:
        return 20.0 - 2.0 * I

    least, most = window_of(ahead, 10.0, 20.0)
    assert window_of(lambda I: -ahead(-I), -10.0, -20.0) == (-most, -least)


def test_a_string_turned_shows_the_same_stretch_turned() -> None:
    ahead, back = solve(STRING, points=50), solve(Turned(STRING), points=50)
    assert back.voltage_V[0] == pytest.approx(-ahead.voltage_V[-1], rel=1e-6)
    assert back.voltage_V[-1] == pytest.approx(-ahead.voltage_V[0], rel=1e-6)
    assert np.abs(back.current_A).max() < 1.2 * abs(back.isc_A)


def test_points_lie_evenly_along_the_drawn_curve() -> None:
    V = np.linspace(-2.0, 8.3, 500)
    I = 8.0 - np.expm1((V - 7.0) / 0.5)
    drawn = evenly_drawn(V, I, 60, 8.0, 8.0)
    assert drawn[0] == -2.0
    assert drawn[-1] == 8.3
    assert np.all(np.diff(drawn) > 0.0)
    # Half of the drawn length lies in the last eighth of the width, where the current falls.
    assert 25 <= np.sum(drawn > 7.0) <= 35
