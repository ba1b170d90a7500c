"""Knots: thick where curves bend, and the same in any company."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.circuit.knots import knots_around, rising, side_by_side

REACH_A = 64.0


def test_knots_reach_both_ends_and_every_centre_and_stand_closest_there() -> None:
    centres = np.array([2.0, 2.1, 5.0])
    (knots,) = knots_around([centres], -REACH_A, np.array([REACH_A]), np.array([1e-4]))
    assert (knots[0], knots[-1]) == pytest.approx((-REACH_A, REACH_A))
    assert np.isin(centres, knots).all()
    apart = np.diff(knots)
    for one in centres:
        assert apart[np.searchsorted(knots, one)] < 1e-3
    assert apart.max() > 1.0


def test_rising_leaves_out_what_comes_twice() -> None:
    assert rising(np.array([3.0, 1.0, 3.0, 2.0])).tolist() == [1.0, 2.0, 3.0]


def test_the_knots_of_a_chain_are_the_same_in_any_company() -> None:
    rng = np.random.default_rng(4)
    centres = [np.sort(rng.uniform(0.0, 12.0, count)) for count in (1, 7, 2, 20, 1)]
    most_A = np.array([REACH_A, float(centres[1][-1]), REACH_A, 11.0, float(centres[4][0])])
    finest_A = np.array([1e-9, 1e-4, 1e-6, 3e-5, 1e-7])
    together = knots_around(centres, -REACH_A, most_A, finest_A)
    for k, knots in enumerate(together):
        (alone,) = knots_around([centres[k]], -REACH_A, most_A[[k]], finest_A[[k]])
        np.testing.assert_allclose(knots, alone, rtol=1e-12, atol=1e-12)
        assert np.all(np.diff(knots) > 0.0)
        assert knots[-1] == pytest.approx(most_A[k])


def test_short_rows_go_on_with_their_last() -> None:
    rows = [np.array([1.0, 2.0]), np.array([3.0]), np.array([4.0, 5.0, 6.0])]
    assert side_by_side(rows).tolist() == [[1.0, 2.0, 2.0], [3.0, 3.0, 3.0], [4.0, 5.0, 6.0]]
