"""The cheapest order of some modules, found over all their subsets."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import numpy as np

from pvsim.cabling.checks import Ints

__all__ = ["MOST_ORDERED", "cheapest_order", "cheapest_order_by_layer"]

MOST_ORDERED = 18  # 18 x 2**18 states, 40 MB
_KEPT = 11  # up to so many modules the tables of layers are kept
_ROWS = 65_536  # states that are worked at once
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
    cost = np.full((1 << k, k), FAR, dtype=np.int64)
    cost[1 << np.arange(k), np.arange(k)] = first
    before = np.zeros((1 << k, k), dtype=np.int8)
    for t in range(1, k):
        into = np.ascontiguousarray(links[t - 1].T)
        subsets, things = _layer(k, t + 1) if k <= _KEPT else _make_layer(k, t + 1)
        for at in range(0, len(subsets), _ROWS):
            S, j = subsets[at : at + _ROWS], things[at : at + _ROWS]
            ways = cost[S ^ (1 << j)] + into[j]
            best = ways.argmin(axis=1)
            before[S, j] = best
            cost[S, j] = ways[np.arange(len(j)), best]
        yield None
    yield _walk_back(cost[-1] + last, before)


def _walk_back(ends: Ints, before: np.ndarray[tuple[int, int], np.dtype[np.int8]]) -> Ints:
    k = len(ends)
    order = np.empty(k, dtype=np.int64)
    S, j = (1 << k) - 1, int(ends.argmin())
    for t in range(k - 1, -1, -1):
        order[t] = j
        S, j = S ^ (1 << j), int(before[S, j])
    return order


def _make_layer(k: int, size: int) -> tuple[Ints, Ints]:
    """Every subset of a size with each thing in it: (m,) subsets as bits, (m,) things."""
    subsets = np.arange(1 << k)
    counts = sum((subsets >> j) & 1 for j in range(k))
    chosen = subsets[counts == size]
    rows, things = np.nonzero((chosen[:, None] >> np.arange(k)) & 1)
    return chosen[rows], things


_layer = lru_cache(maxsize=128)(_make_layer)
