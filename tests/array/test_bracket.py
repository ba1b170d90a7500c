"""The bracket: no step leaves what the heat balance can give, and none is held back for ever."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from pvsim.array.bracket import step_within, wide_open
from pvsim.array.heat import COLDEST_K, HOTTEST_K

kelvins = st.floats(COLDEST_K, HOTTEST_K)


@given(st.lists(st.tuples(kelvins, kelvins, st.floats(-1e4, 1e4)), min_size=1, max_size=12))
def test_no_step_leaves_the_bounds_of_the_heat_balance(rounds: list[tuple[float, float, float]]) -> None:
    bracket = wide_open(1)
    for T, steady, secant in rounds:
        now = np.array([T])
        move, bracket = step_within(bracket, now, np.array([steady - T]), now + secant)
        assert COLDEST_K <= move[0] <= HOTTEST_K
        assert bracket.low_K[0] <= bracket.high_K[0]


def test_a_wanted_step_within_the_bracket_is_taken_as_it_is() -> None:
    T = np.array([300.0, 400.0])
    wanted = np.array([351.25, 380.0])
    move, bracket = step_within(wide_open(2), T, np.array([50.0, -30.0]), wanted)
    np.testing.assert_array_equal(move, wanted)
    assert (bracket.low_K[0], bracket.high_K[1]) == (300.0, 400.0)


def test_a_step_beyond_the_bracket_goes_half_way() -> None:
    T = np.array([443.0])
    move, bracket = step_within(wide_open(1), T, np.array([164.0]), T + 328.0)
    assert move[0] == 0.5 * (443.0 + HOTTEST_K)
    move, bracket = step_within(bracket, move, np.array([-20.0]), move - 100.0)
    assert 443.0 < move[0] < 496.5  # known to lie above 443


def test_a_side_that_holds_back_twice_is_opened() -> None:
    # The others have moved, and the steady temperature with them, to above what was the top.
    bracket = wide_open(1)
    T = np.array([320.0])
    T, bracket = step_within(bracket, T, np.array([-5.0]), T - 5.0)
    for _ in range(60):
        T, bracket = step_within(bracket, T, 400.0 - T, T + 1.5 * (400.0 - T))
    assert abs(T[0] - 400.0) < 0.1
