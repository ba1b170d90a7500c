"""What a wiring costs, as one whole number by which wirings are ranked."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil
from typing import Literal, get_args

import numpy as np

from pvsim.cabling.checks import Floats, Ints, Truths
from pvsim.cabling.terminals import Terminals, home_run_steps, lead_distances_m, missing_steps
from pvsim.cabling.wiring import check_lengths
from pvsim.errors import CablingError, nearest
from pvsim.prompt import summary
from pvsim.words import _

__all__ = ["Goal", "Prices", "prices_of"]

Goal = Literal["reach", "cable"]
MOST_SEARCHED = 1_000  # modules; the tables of their pairs take 8 MB each then
LARGEST = 2**60  # of a price: sums of two stay within 64 bits
SPANS = 1_000_000  # in how many parts the longest possible sum of spans is told


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Prices:
    """Prices of the parts that wirings are made of. All whole, so that sums and comparisons are exact.

    Parameters
    ----------
    lengths : tuple of int
        Modules of each string.
    start, end : (n,)
        When a string has its negative or its positive end at module i: the way to the box.
    join : (n, n)
        When the plus lead of i joins the minus lead of j.
    main : int
        One of `start`, `end` and `join`, divided by this and rounded down, is what the goal counts; what
        remains ranks wirings that are equal in that by the spans of their leads: the tidier one.
    unit : int
        Of what the goal counts, so much is its first concern, and what remains its second.
    goal : "reach" or "cable"
        "reach": as few extensions as can be, then as little bought cable; "cable": the other way round.
    step_m : float
        A step of bought cable.
    """

    lengths: tuple[int, ...]
    start: Ints
    end: Ints
    join: Ints
    main: int
    unit: int
    goal: Goal
    step_m: float

    __repr__ = summary


def prices_of(terminals: Terminals, box_m: object, lengths: Iterable[int], goal: Goal = "reach") -> Prices:
    """Prices for a search.

    Raises
    ------
    CablingError
        If lengths do not fit, the goal is unknown, there are too many modules or they lie too far apart
        for steps so small.
    """
    n = len(terminals.minus_m)
    wanted = check_lengths(lengths, n)
    if goal not in get_args(Goal):
        raise CablingError(
            _("goal is {value}").format(value=repr(goal)[:80]),
            expected=_("one of {names}").format(names=", ".join(get_args(Goal))),
            mend=nearest(str(goal), get_args(Goal), _("Choose one of them")),
        )
    if n > MOST_SEARCHED:
        raise CablingError(
            _("a search over {n:,} modules is wanted").format(n=n),
            expected=_("at most {most:,}").format(most=MOST_SEARCHED),
            mend=_("Search for one part of the roof after the other"),
        )
    steps = missing_steps(terminals)
    count = (steps > 0).astype(np.int64)
    span = lead_distances_m(terminals)
    part = max(0.01, float(span.max()) * n / SPANS)
    spans = np.round(span / part).astype(np.int64)
    minus, plus = home_run_steps(terminals, box_m)
    main = int(spans.max()) * n + 1
    most_steps = int(steps.max()) * n + len(wanted) * int(minus.max() + plus.max()) + 1
    unit, per_count, per_step = (most_steps, most_steps, 1) if goal == "reach" else (n, 1, n)
    if main * most_steps * (n + 1) >= LARGEST:
        raise CablingError(
            _("modules and box lie up to {distance:,} steps of cable apart").format(distance=most_steps // n),
            expected=_("less for so many modules"),
            mend=_("Give coordinates in m, and a step of at least 0.01 m"),
        )
    return Prices(
        lengths=wanted,
        start=minus * per_step * main,
        end=plus * per_step * main,
        join=(count * per_count + steps * per_step) * main + spans,
        main=main,
        unit=unit,
        goal=goal,
        step_m=terminals.step_m,
    )


def is_last(lengths: tuple[int, ...]) -> Truths:
    """Of each position in strings set one after the other, whether it is a string's last."""
    last = np.zeros(sum(lengths), dtype=bool)
    last[np.cumsum(lengths) - 1] = True
    return last


def price_of(prices: Prices, orders: Ints) -> Ints:
    """Prices of orders of all modules, by index, strings set one after the other: (k, n) to (k,)."""
    last = is_last(prices.lengths)
    here, there = orders[:, :-1], orders[:, 1:]
    links = np.where(last[:-1], prices.end[here] + prices.start[there], prices.join[here, there])
    whole: Ints = links.sum(axis=1) + prices.start[orders[:, 0]] + prices.end[orders[:, -1]]
    return whole


def told(prices: Prices, price: int) -> tuple[int, float]:
    """How many extensions and how many metres of bought cable a price stands for."""
    first, second = divmod(price // prices.main, prices.unit)
    extensions, steps = (first, second) if prices.goal == "reach" else (second, first)
    return extensions, steps * prices.step_m


def whole_bound(bound: float) -> int:
    """The least whole number that a bound found with rounding leaves possible."""
    return ceil(bound - 1e-6 * max(1.0, abs(bound) * 1e-3))


def as_floats(prices: Prices) -> tuple[Floats, Floats, Floats]:
    """What the goal counts of start, end and join."""
    return tuple((one // prices.main).astype(float) for one in (prices.start, prices.end, prices.join))  # type: ignore[return-value]
