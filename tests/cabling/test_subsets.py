"""The cheapest order, against all orders."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest

from pvsim.cabling.subsets import cheapest_order


@pytest.mark.parametrize("k", [1, 2, 3, 5, 7])
@pytest.mark.parametrize("seed", range(5))
def test_no_order_is_cheaper(k, seed) -> None:
    chance = np.random.default_rng(seed)
    first, last = chance.integers(-50, 50, size=(2, k))
    links = chance.integers(-50, 50, size=(k - 1, k, k))

    def cost(order) -> int:
        between = sum(links[t, order[t], order[t + 1]] for t in range(k - 1))
        return int(first[order[0]] + between + last[order[-1]])

    order = cheapest_order(first, links, last)
    assert sorted(order.tolist()) == list(range(k))
    assert cost(order) == min(map(cost, permutations(range(k))))


def test_twelve_towns_on_a_circle_are_gone_round_in_turn() -> None:
    # Beyond what is kept between calls; the shortest path along a circle leaves out one of its sides.
    chance = np.random.default_rng(1)
    turn = chance.permutation(12)
    at = np.exp(2j * np.pi * turn / 12)
    apart = np.round(1000 * np.abs(at[:, None] - at)).astype(int)
    none = np.zeros(12, dtype=int)
    order = cheapest_order(none, np.broadcast_to(apart, (11, 12, 12)), none)
    assert set(np.abs(np.diff(turn[order])) % 10) == {1}
