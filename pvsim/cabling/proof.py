"""Whether anything cheaper than the best known wiring exists: integer programming over what may be in it."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite

import numpy as np

from pvsim.cabling.bound import Bound, parts_of
from pvsim.cabling.checks import Floats, Ints, Truths
from pvsim.cabling.price import Prices, whole_bound
from pvsim.cabling.walks import worth_a_look

__all__ = ["Attempt", "attempt"]

MOST_PARTS = 40_000  # joints that HiGHS is given; with more it hardly comes to branch
_REMAINDER = 1e-6  # of sums of prices


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Attempt:
    """What an attempt at a proof has shown.

    Parameters
    ----------
    known : int
        What no wiring falls below, in what the goal counts; `above` when nothing cheaper exists.
    order : (n,) or None
        A wiring cheaper than `above`, by index, strings set one after the other.
    ended : bool
        False when it was left before it came to an end.
    """

    known: int
    order: Ints | None
    ended: bool


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Parts:
    """The parts that wirings are put together from, one row a part, starts first.

    A part leads into module `into` when `left` modules are left of the string, that one counted; `out_of`
    is the module before, -1 for a start.
    """

    out_of: Ints
    into: Ints
    left: Ints
    cost: Floats


def attempt(prices: Prices, bound: Bound, above: int, *, nodes: int, time_s: float) -> Attempt:
    """Look for a wiring that costs less than `above`, or show that there is none.

    Parameters
    ----------
    prices : Prices
        Of the parts.
    bound : Bound
        From `lower_bounds`; what costs too much beside it is left out from the beginning.
    above : int
        What the best known wiring costs, in what the goal counts.
    nodes : int
        After so many branches it is left; the same result each time unless time ends before.
    time_s : float
        After so long it is left.

    Notes
    -----
    Strings are flows of one through a network that holds each module once for each number of modules left
    to a string's end; so every flow has the right length, and what is asked is only that each module is
    come to once. Solved by HiGHS (Q. Huangfu, J. A. J. Hall, Math. Programming Computation 10 (2018) 119),
    which scipy brings along.
    """
    start, end, join = parts_of(prices, reached_only=bound.reached_only)
    counts = np.bincount(prices.lengths)
    room = above - 1 - bound.exactly + _REMAINDER * max(1.0, abs(above) * 1e-3)
    if room < 0.0:
        return Attempt(known=above, order=None, ended=True)
    kept = worth_a_look(start, end, join, bound.price, counts, room)
    if sum(int(one.sum()) for one in kept) > MOST_PARTS:
        return Attempt(known=bound.known, order=None, ended=False)
    parts = _parts(start, end, join, counts, kept)
    status, taken, dual = _solve(parts, counts, len(start), nodes, time_s)
    if status == 2:  # no wiring is left
        return Attempt(known=above, order=None, ended=True)
    known = max(bound.known, whole_bound(dual) if isfinite(dual) else 0)
    known = above if status == 0 else min(above, known)
    if taken is None:
        return Attempt(known=known, order=None, ended=False)
    cost = round(float(parts.cost[taken].sum()))
    if cost >= above:
        return Attempt(known=known, order=None, ended=status == 0)
    order = _order(parts, taken, prices.lengths)
    return Attempt(known=cost if status == 0 else min(known, cost), order=order, ended=status == 0)


def _parts(start: Floats, end: Floats, join: Floats, counts: Ints, kept: list[Truths]) -> _Parts:
    n = len(start)
    out_of, into, left, cost = [], [], [], []
    for length in np.flatnonzero(counts).tolist():
        out_of.append(np.full(n, -1))
        into.append(np.arange(n))
        left.append(np.full(n, length))
        cost.append(start + (end if length == 1 else 0.0))
    for t, one in enumerate(kept):
        i, j = np.nonzero(one)
        out_of.append(i)
        into.append(j)
        left.append(np.full(len(i), t + 1))
        cost.append(join[i, j] + (end[j] if t == 0 else 0.0))
    return _Parts(
        out_of=np.concatenate(out_of),
        into=np.concatenate(into),
        left=np.concatenate(left),
        cost=np.concatenate(cost),
    )


def _solve(
    parts: _Parts, counts: Ints, n: int, nodes: int, time_s: float
) -> tuple[int, Truths | None, float]:
    """Status of HiGHS, the parts taken and the bound it has come to."""
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import coo_array

    m, longest = len(parts.cost), len(counts) - 1
    every = np.arange(m)
    joins = parts.out_of >= 0
    i, j = parts.out_of[joins], parts.into[joins]
    # Rows: each module once; what comes to a module with k > 1 left goes on; strings of each length;
    # and no joint both ways, which the flow alone would allow in fractions.
    flow = n + (parts.left - 2) * n
    comes = parts.left >= 2
    begins = n + n * (longest - 1)
    pairs, pair = np.unique(np.minimum(i, j) * n + np.maximum(i, j), return_inverse=True)
    rows = [
        parts.into,
        (flow + parts.into)[comes],
        n + (parts.left[joins] - 1) * n + i,
        begins + parts.left[~joins],
        begins + longest + 1 + pair,
    ]
    columns = [every, every[comes], every[joins], every[~joins], every[joins]]
    values = [np.ones(m), np.ones(comes.sum()), -np.ones(len(i)), np.ones((~joins).sum()), np.ones(len(i))]
    size = begins + longest + 1 + len(pairs)
    matrix = coo_array(
        (np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))), shape=(size, m)
    ).tocsr()
    exactly = np.concatenate([np.ones(n), np.zeros(n * (longest - 1)), counts.astype(float)])
    result = milp(
        parts.cost,
        integrality=np.ones(m),
        bounds=Bounds(0.0, 1.0),
        constraints=LinearConstraint(
            matrix,
            np.concatenate([exactly, np.zeros(len(pairs))]),
            np.concatenate([exactly, np.ones(len(pairs))]),
        ),
        options={"node_limit": nodes, "time_limit": time_s, "mip_rel_gap": 0.0},
    )
    dual = result.mip_dual_bound if result.mip_dual_bound is not None else -np.inf
    return int(result.status), None if result.x is None else result.x > 0.5, float(dual)


def _order(parts: _Parts, taken: Truths, lengths: tuple[int, ...]) -> Ints:
    """Strings put together from the parts taken."""
    begins: dict[int, list[int]] = {}
    after: dict[int, int] = {}
    for out_of, into, left in zip(
        parts.out_of[taken].tolist(), parts.into[taken].tolist(), parts.left[taken].tolist(), strict=True
    ):
        if out_of < 0:
            begins.setdefault(left, []).append(into)
        else:
            after[out_of] = into
    order = []
    for length in lengths:
        order.append(begins[length].pop(0))
        for _joint in range(length - 1):
            order.append(after[order[-1]])
    return np.array(order)
