"""The cheapest order of some modules, found over all their subsets."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import numpy as np

from pvsim.cabling.checks import Ints

__all__ = ["MOST_ORDERED", "cheapest_order", "cheapest_order_by_layer"]

MOST_ORDERED = 18  # 18 x 2**18 states, 40 MB
_KEPT = 11  # up to so many modules the tables of layers are kept
_ROWS = 4_096  # states that are worked at once
FAR = 2**61


def cheapest_order(first: Ints, links: Ints, last: Ints) -> Ints:
    """The order of k things that costs least, each place with its own prices.

    Parameters
    ----------
    first, last : (k,)
        Price of thing j in the first place, and in the last one.
    links : (k - 1, k, k)
        links[t, i, j]: of thing i in place t and thing j in place t + 1.

    Returns
    -------
    (k,)
        Index of the thing in each place; the same whenever it is asked.

    Notes
    -----
    M. Held, R. M. Karp, J. SIAM 10 (1962) 196: the cheapest way through a subset to a last thing is put
    together from those through subsets with one thing less. How large a subset is says in which place its
    last thing stands, so prices may differ from place to place.
    """
    for order in cheapest_order_by_layer(first, links, last):
        if order is not None:
            return order
    raise AssertionError("the last layer gives an order")


def cheapest_order_by_layer(first: Ints, links: Ints, last: Ints) -> Iterator[Ints | None]:
    """The same, stopping for breath after each layer: None, and at the end the order."""
    k = len(first)
    cost = np.full((1 << k, k), FAR, dtype=np.int64)  # of subset S with thing j last
    cost[1 << np.arange(k), np.arange(k)] = first
    into = np.ascontiguousarray(links.transpose(0, 2, 1))
    for t, (subsets, things) in enumerate(_kept_layers(k) if k <= _KEPT else _layers(k)):
        for at in range(0, len(subsets), _ROWS):
            S, j = subsets[at : at + _ROWS], things[at : at + _ROWS]
            ways = cost[S ^ (1 << j)]
            ways += into[t, j]
            cost[S, j] = ways.min(axis=1)
        yield None
    yield _walk_back(cost, into, last)


def _walk_back(cost: Ints, into: Ints, last: Ints) -> Ints:
    """The order that led to the least cost; of equal things the first."""
    k = len(last)
    order = np.empty(k, dtype=np.int64)
    S, ahead = (1 << k) - 1, last
    for t in range(k - 1, -1, -1):
        order[t] = j = int((cost[S] + ahead).argmin())
        S, ahead = S ^ (1 << j), into[t - 1, j] if t else last
    return order


def _layers(k: int) -> Iterator[tuple[Ints, Ints]]:
    """For each size from 2 on every subset with each thing in it: (m,) subsets as bits, (m,) things."""
    subsets = np.arange(1 << k)
    within = (subsets[:, None] >> np.arange(k) & 1).astype(bool)
    counts = within.sum(axis=1)
    for size in range(2, k + 1):
        chosen = np.flatnonzero(counts == size)
        rows, things = np.nonzero(within[chosen])
        yield chosen[rows], things


@lru_cache
def _kept_layers(k: int) -> list[tuple[Ints, Ints]]:
    return list(_layers(k))
