"""The search for the shortest wiring within the reach of the leads.

How it searches
---------------
Up to 18 modules, every subset of them is looked at once (`subsets`): the answer is the shortest wiring there
is. Beyond, three things take turns until they meet, or rounds or time end: a local search (`local_search`),
a bound that no wiring falls below (`bound`), and integer programming over what the two leave open (`proof`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from time import monotonic

import numpy as np

from pvsim.cabling.bound import Bound, lower_bounds, without_extension
from pvsim.cabling.checks import Ints, number, whole
from pvsim.cabling.local_search import greedy_order, improved_orders
from pvsim.cabling.price import Goal, Prices, is_last, price_of, prices_of, told
from pvsim.cabling.proof import attempt
from pvsim.cabling.subsets import MOST_ORDERED, cheapest_order_by_layer
from pvsim.cabling.terminals import Terminals
from pvsim.cabling.wiring import Wiring, check_wiring, cut
from pvsim.errors import CablingError
from pvsim.prompt import summary
from pvsim.words import _

__all__ = ["Found", "search_wirings", "shortest_wiring"]

ROUNDS = 6_000
TIME_s = 20.0
_CHUNK = 40  # rounds between two looks: some 30 ms for 30 modules
_CALM = 400  # rounds without anything better, before an attempt at a proof
_NODES = (50, 500, 5_000)  # branches of the first, second and third attempt
_ATTEMPT_s = 6.0  # and no longer than this each, so that a stop is heeded


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """The best wiring that a search has found so far.

    Parameters
    ----------
    wiring : Wiring
        Of each string the numbers of its modules, from its negative to its positive end. Strings of one
        length stand in the order of their lowest numbers.
    goal : "reach" or "cable"
        "reach": as few extensions as can be, then as little bought cable; "cable": the other way round.
    extensions : int
        How many it needs.
    bought_m : float
        Extensions and runs to the box.
    least_extensions : int
    least_bought_m : float
        No wiring comes before these two in the order of the goal.
    proved : bool
        Whether the wiring is known to be the best there is.
    rounds : int
        Rounds of the search so far; 0 where all subsets are looked at.
    """

    wiring: Wiring
    goal: Goal
    extensions: int
    bought_m: float
    least_extensions: int
    least_bought_m: float
    proved: bool
    rounds: int

    __repr__ = summary


def shortest_wiring(
    terminals: Terminals,
    box_m: object,
    lengths: Iterable[int],
    *,
    starts: Iterable[Sequence[Sequence[int]]] = (),
    goal: Goal = "reach",
    seed: int = 0,
    rounds: int = ROUNDS,
    time_s: float = TIME_s,
    progress: Callable[[Found], object] | None = None,
) -> Found:
    """The best wiring that a search finds; as `search_wirings`, to the end.

    Parameters
    ----------
    progress : callable
        Told what was found, some times a second; the search ends when it answers True.
    """
    searching = search_wirings(
        terminals, box_m, lengths, starts=starts, goal=goal, seed=seed, rounds=rounds, time_s=time_s
    )
    for found in searching:
        last = found
        if progress is not None and progress(found) is True:
            break
    return last


def search_wirings(
    terminals: Terminals,
    box_m: object,
    lengths: Iterable[int],
    *,
    starts: Iterable[Sequence[Sequence[int]]] = (),
    goal: Goal = "reach",
    seed: int = 0,
    rounds: int = ROUNDS,
    time_s: float = TIME_s,
) -> Iterator[Found]:
    """Search for the shortest wiring, and say from time to time what was found.

    Parameters
    ----------
    terminals : Terminals
        Junction boxes and leads of n modules, at most 1,000.
    box_m : (2,) or (3,)
        Where the strings meet, in m.
    lengths : whole numbers
        Modules of each string; together n.
    starts : wirings
        With strings of these lengths in this order, such as the presets. No answer is worse than any.
    goal : "reach" or "cable"
        "reach": as few extensions as can be, and of those wirings the one with the least bought cable;
        "cable": the least bought cable, if need be with more extensions. Of wirings that are equal in both
        the one whose leads span less.
    seed : int
        Same seed, same answer, unless the time ended before the rounds.
    rounds : int
        Of local search, at most.
    time_s : float
        After so many seconds it ends; an attempt at a proof may take some 6 s of it at a stretch.

    Yields
    ------
    Found
        Each at least as good as the one before. Closing the iterator stops the search.

    Raises
    ------
    CablingError
        At once, if something does not fit.
    """
    prices = prices_of(terminals, box_m, lengths, goal)
    orders = [_order_of(start, prices.lengths) for start in starts]
    whole("seed", seed, least=0, most=2**63 - 1)
    whole("rounds", rounds, least=1, most=10**9)
    until = monotonic() + number("time_s", time_s, least=0.0, most=86_400.0)
    n = len(prices.start)
    if not orders:
        nearest = np.argsort(prices.start, kind="stable")[:8].tolist()
        orders = [greedy_order(prices, first) for first in nearest]
    if n <= MOST_ORDERED:
        return _through_all(prices, orders)
    return _through_many(prices, orders, seed, rounds, until)


def _order_of(start: Sequence[Sequence[int]], lengths: tuple[int, ...]) -> Ints:
    wiring = check_wiring(start, sum(lengths))
    found = tuple(map(len, wiring))
    if found != lengths:
        raise CablingError(
            _("a start has strings of {lengths} modules").format(lengths=", ".join(map(str, found[:8]))),
            expected=_("the lengths wanted: {lengths}").format(lengths=", ".join(map(str, lengths[:8]))),
            mend=_("Leave this start out, or ask for its lengths"),
        )
    return np.concatenate([np.array(string) for string in wiring]) - 1


def _through_all(prices: Prices, orders: list[Ints]) -> Iterator[Found]:
    """All subsets of the modules, one size after the other."""
    best = min(orders, key=lambda order: int(price_of(prices, order[None])[0]))
    yield _found(prices, best, 0, proved=False, rounds=0)
    last = is_last(prices.lengths)
    broken = prices.end[:, None] + prices.start
    links = np.where(last[:-1, None, None], broken, prices.join)
    for order in cheapest_order_by_layer(prices.start, links, prices.end):
        if order is not None:
            known = int(price_of(prices, order[None])[0]) // prices.main
            yield _found(prices, order, known, proved=True, rounds=0)
        else:
            yield _found(prices, best, 0, proved=False, rounds=0)


@dataclass(slots=True, kw_only=True)
class _Work:
    """How far a search has come. Changed as it goes, and seen by nobody else."""

    prices: Prices
    rounds: int
    until: float
    price: int
    best: Ints
    known: int = 0
    done: int = 0
    bound: Bound | None = None

    @property
    def main(self) -> int:
        return self.price // self.prices.main

    @property
    def proved(self) -> bool:
        return self.known >= self.main

    @property
    def over(self) -> bool:
        return self.done >= self.rounds or monotonic() >= self.until

    def found(self) -> Found:
        return _found(self.prices, self.best, self.known, proved=self.proved, rounds=self.done)


def _through_many(
    prices: Prices, orders: list[Ints], seed: int, rounds: int, until: float
) -> Iterator[Found]:
    """Local search till it is calm, bounds, and attempts at a proof with more local search between them."""
    best = min(orders, key=lambda order: int(price_of(prices, order[None])[0]))
    price = int(price_of(prices, best[None])[0])
    work = _Work(prices=prices, rounds=rounds, until=until, price=price, best=best)
    yield work.found()
    searching = improved_orders(prices, orders, seed)
    yield from _till_calm(work, searching)
    for number_of_attempt, nodes in enumerate(_NODES, 1):
        yield from _bounded(work)
        if work.proved or work.over or work.bound is None:
            break
        tried = attempt(
            prices, work.bound, work.main, nodes=nodes, time_s=min(_ATTEMPT_s, until - monotonic())
        )
        work.known = max(work.known, tried.known)
        if tried.order is not None:
            work.best, work.price = tried.order, int(price_of(prices, tried.order[None])[0])
            searching = improved_orders(prices, [work.best], seed + number_of_attempt)
        yield work.found()
        yield from _till_calm(work, searching)
    while not (work.proved or work.over):
        yield from _till_calm(work, searching)
        yield from _bounded(work)


def _till_calm(work: _Work, searching: Iterator[tuple[int, Ints]]) -> Iterator[Found]:
    """Local search until nothing better has come for a while."""
    calm = 0
    while calm < _CALM and not work.over:
        for price, order in islice(searching, min(_CHUNK, work.rounds - work.done)):
            work.done += 1
            calm += 1
            if price < work.price:
                work.price, work.best, calm = price, order, 0
        yield work.found()


def _bounded(work: _Work) -> Iterator[Found]:
    """Bounds for what is being looked for, if they are not known already."""
    reached = without_extension(work.prices, work.main)
    if work.proved or (work.bound is not None and work.bound.reached_only == reached):
        return
    for k, bound in enumerate(lower_bounds(work.prices, work.main, reached_only=reached)):
        work.bound, work.known = bound, max(work.known, bound.known)
        if work.proved or monotonic() >= work.until:
            break
        if k % _CHUNK == 0:
            yield work.found()
    yield work.found()


def _found(prices: Prices, order: Ints, known: int, *, proved: bool, rounds: int) -> Found:
    strings = cut((order + 1).tolist(), prices.lengths)
    by_length: dict[int, list[tuple[int, ...]]] = {}
    for string in sorted(strings, key=min, reverse=True):
        by_length.setdefault(len(string), []).append(tuple(string))
    extensions, bought = told(prices, int(price_of(prices, order[None])[0]))
    least_extensions, least_bought = told(prices, known * prices.main)
    return Found(
        wiring=tuple(by_length[length].pop() for length in prices.lengths),
        goal=prices.goal,
        extensions=extensions,
        bought_m=bought,
        least_extensions=least_extensions,
        least_bought_m=least_bought,
        proved=proved,
        rounds=rounds,
    )
