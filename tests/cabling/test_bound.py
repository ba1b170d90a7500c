"""Bounds and proofs: never above the best wiring there is, and nothing better overlooked."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from pvsim.cabling.bound import lower_bounds, without_extension
from pvsim.cabling.price import price_of, prices_of
from pvsim.cabling.proof import attempt
from tests.cabling.every_wiring import best_cost
from tests.cabling.roofs import random_roof

SEEDS = range(16)


def small(seed, goal):
    """A roof of up to seven modules: its prices and, of all wirings, the least in what the goal counts."""
    roof, lengths = random_roof(seed, least=4, most=7)
    prices = prices_of(roof.terminals, roof.box_m, lengths, goal)
    extensions, steps = best_cost(roof, lengths, goal)
    first, second = (extensions, steps) if goal == "reach" else (steps, extensions)
    return prices, first * prices.unit + second


@pytest.mark.parametrize("goal", ["reach", "cable"])
@pytest.mark.parametrize("seed", SEEDS)
def test_no_bound_is_above_the_best_wiring(seed, goal) -> None:
    prices, best = small(seed, goal)
    bounds = list(lower_bounds(prices, best))
    assert all(one.known <= other.known for one, other in pairwise(bounds))
    assert bounds[-1].known <= best
    if without_extension(prices, best):
        assert list(lower_bounds(prices, best, reached_only=True))[-1].known <= best


@pytest.mark.parametrize("goal", ["reach", "cable"])
@pytest.mark.parametrize("seed", SEEDS)
def test_an_attempt_finds_what_is_better_and_shows_where_nothing_is(seed, goal) -> None:
    prices, best = small(seed, goal)
    reached = without_extension(prices, best)
    for at, bound in enumerate(lower_bounds(prices, best, reached_only=reached)):
        if at not in (0, 5):  # early ones leave much open
            continue
        found = attempt(prices, bound, best + 3, nodes=10_000, time_s=60.0)
        assert found.ended
        assert found.known == best
        assert int(price_of(prices, found.order[None])[0]) // prices.main == best
        none = attempt(prices, bound, best, nodes=10_000, time_s=60.0)
        assert (none.ended, none.known, none.order) == (True, best, None)


def test_an_attempt_that_is_left_says_so_and_claims_no_more_than_it_knows() -> None:
    roof, lengths = random_roof(5, least=20, most=20)
    prices = prices_of(roof.terminals, roof.box_m, lengths)
    bound = next(lower_bounds(prices, 10**6))
    left = attempt(prices, bound, 10**6, nodes=1, time_s=0.0)
    assert not left.ended
    assert left.known < 10**6
    assert left.order is None or sorted(left.order.tolist()) == np.arange(20).tolist()
