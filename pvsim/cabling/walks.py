"""Cheapest walks from module to module, which may come back to one they have been at, but not at once.

A string is a walk that comes to each of its modules once; so no string of a length is cheaper than the
cheapest walk of that length. Of each module the two cheapest ways on are kept that begin with different
modules: who comes from the one takes the other.
Source: D. J. Houck, J.-C. Picard, M. Queyranne, R. R. Vemuganti, Opsearch 17 (1980) 93; N. Christofides,
A. Mingozzi, P. Toth, Math. Programming 20 (1981) 255.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from pvsim.cabling.checks import Floats, Ints, Truths

__all__ = ["cheapest_walks", "worth_a_look"]


def cheapest_walks(
    start: Floats, end: Floats, join: Floats, price: Floats, counts: Ints
) -> tuple[float, Floats]:
    """Cost of the cheapest walks, and how often they come to each module, when modules have prices.

    Parameters
    ----------
    start, end : (n,)
        Cost of beginning and of ending at a module.
    join : (n, n)
        Cost from i to j; infinite from i to i.
    price : (n,)
        Taken off for each visit, and added once for each module.
    counts : (longest + 1,)
        How many walks of each number of modules there are.

    Returns
    -------
    float, (n,)
        Cost less prices of visits, plus prices of all modules; visits by module.
    """
    n = len(start)
    ways_on = list(_ways_on(end, join, price, len(counts) - 1))
    visits = np.zeros(n)
    cost = float(price.sum())
    for length in np.flatnonzero(counts).tolist():
        count = int(counts[length])
        from_start = start + ways_on[length - 1][0][0]
        i, came = int(from_start.argmin()), -1
        cost += count * float(from_start[i])
        for left in range(length - 1, -1, -1):
            visits[i] += count
            one, other = (int(j) for j in ways_on[left][1][:, i])
            i, came = (other if one == came else one), i
    return cost, visits


def worth_a_look(
    start: Floats, end: Floats, join: Floats, price: Floats, counts: Ints, room: float
) -> list[Truths]:
    """Which joints a wiring can have that costs at most so much more than the cheapest walks.

    Parameters
    ----------
    room : float
        How much more.

    Returns
    -------
    list of (n, n)
        Element t for joints after which t + 1 modules are left of a string.
    """
    longest = len(counts) - 1
    ways_on = list(_ways_on(end, join, price, longest))
    kept = [np.zeros(join.shape, dtype=bool) for _t in range(longest - 1)]
    for length in np.flatnonzero(counts[2:]).tolist():
        length += 2
        least = float((start + ways_on[length - 1][0][0]).min())
        # The same from the other end: ways back to the start, joints turned round.
        ways_back = _ways_on(start, join.T, price, length - 1)
        for before, (back, came) in enumerate(ways_back, 1):
            left = length - before
            value, following = ways_on[left - 1]
            rows = np.arange(len(start))
            behind = np.where(came[0][:, None] == rows, back[1][:, None], back[0][:, None])
            ahead = np.where(following[0] == rows[:, None], value[1], value[0])
            kept[left - 1] |= behind + join + ahead <= least + room
    return kept


def _ways_on(end: Floats, join: Floats, price: Floats, longest: int) -> Iterator[tuple[Floats, Ints]]:
    """For 1, 2, ... modules left: (2, n) costs from a module to the end, and (2, n) the next modules.

    In each the cheapest way, and the cheapest of those that begin with another module.
    """
    n = len(end)
    rows = np.arange(n)
    value: Floats = np.array([end - price, np.full(n, np.inf)])
    following = np.full((2, n), -1)
    yield value, following
    for _length in range(1, longest):
        ways = join + np.where(following[0] == rows[:, None], value[1], value[0])
        costs, nexts = [], []
        for _kind in (0, 1):
            j = ways.argmin(axis=1)
            nexts.append(j)
            costs.append(ways[rows, j] - price)
            ways[rows, j] = np.inf
        value, following = np.array(costs), np.array(nexts)
        yield value, following
