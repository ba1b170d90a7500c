"""A search that changes a wiring here and there and keeps what is cheaper."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from pvsim.cabling.checks import Ints, Truths
from pvsim.cabling.price import Prices, is_last, price_of
from pvsim.cabling.subsets import cheapest_order

__all__ = ["improved_orders"]

_FREED = 8  # modules taken out and put back at once: some 0.2 ms
_BATCH = 4_096  # positions of changed orders that are priced at once
_STALE = 60  # rounds without anything better, then on from a shaken order


def improved_orders(prices: Prices, starts: Sequence[Ints], seed: int) -> Iterator[tuple[int, Ints]]:
    """Ever better orders: after each round the best price so far and its order; without end.

    Parameters
    ----------
    prices : Prices
        Of the parts.
    starts : rows of (n,)
        Orders by index, strings set one after the other. Never left for anything dearer.
    seed : int
        Same seed, same orders.

    Notes
    -----
    A round takes some modules out, near each other or near the ends of strings, and puts them back into
    the freed positions at the least cost (`cheapest_order`); then it tries parts of the order turned
    round, moved along and changed for each other (2-opt: G. A. Croes, Operations Research 6 (1958) 791;
    or-opt: I. Or, thesis, Northwestern University 1976). Equal prices are accepted. When nothing better
    was found for a while it goes on from the best order, shaken.
    """
    chance = np.random.default_rng(seed)
    near = _neighbours(prices)
    ranked = sorted(starts, key=lambda order: int(price_of(prices, order[None])[0]))
    best = now = ranked[0]
    best_price = now_price = int(price_of(prices, now[None])[0])
    waiting, stale = ranked[1:], 0
    while True:
        before = now_price
        now = _refilled(prices, now, _freed(prices, now, near, chance))
        now_price = int(price_of(prices, now[None])[0])
        now, now_price = _changed(prices, now, now_price, chance)
        stale = 0 if now_price < before else stale + 1
        if now_price < best_price:
            best, best_price = now, now_price
        yield best_price, best
        if stale > _STALE:
            stale = 0
            now = waiting.pop(0) if waiting else _shaken(best, chance)
            now_price = int(price_of(prices, now[None])[0])


def greedy_order(prices: Prices, first: int) -> Ints:
    """Strings put together from the end backwards, each time by the cheapest module that is left."""
    n = len(prices.start)
    left = np.ones(n, dtype=bool)
    order: list[int] = []
    for number, length in enumerate(prices.lengths):
        for k in range(length):
            ways = prices.start if k == 0 else prices.join[order[-1]]
            at = int(np.where(left, ways, np.iinfo(np.int64).max).argmin())
            order.append(first if number == k == 0 else at)
            left[order[-1]] = False
    return np.array(order)


def _neighbours(prices: Prices) -> Ints:
    """Of each module the others, those first that join it most cheaply one way or the other."""
    both = np.minimum(prices.join, prices.join.T)
    np.fill_diagonal(both, -1)
    ranked: Ints = np.argsort(both, axis=1, kind="stable")
    return ranked


def _freed(prices: Prices, order: Ints, near: Ints, chance: np.random.Generator) -> Ints:
    """Positions to be filled anew, in order."""
    n = len(order)
    k = min(_FREED, n)
    kind = int(chance.integers(3))
    if kind == 0 and n > k:  # round a module
        module = int(chance.integers(n))
        chosen = near[module, : 2 * k][chance.permutation(min(2 * k, n))[:k]]
        chosen[0] = module
        position = np.empty(n, dtype=np.int64)
        position[order] = np.arange(n)
        found = np.unique(position[chosen])
    elif kind == 1 and n > k:  # ends of strings and anything
        last = is_last(prices.lengths)
        ends = np.flatnonzero(last | np.roll(last, 1))
        few = chance.permutation(ends)[: k // 2]
        found = np.unique(np.concatenate([few, chance.integers(n, size=k - len(few))]))
    else:  # two runs of neighbours
        runs = [at + np.arange(k // 2) for at in chance.integers(max(1, n - k // 2 + 1), size=2)]
        found = np.unique(np.concatenate(runs))
        found = found[found < n]
    return found


def _refilled(prices: Prices, order: Ints, at: Ints) -> Ints:
    """The order with its modules at some positions put back there as cheaply as can be."""
    things = order[at]
    last = is_last(prices.lengths)
    before, after = _into(prices, order, at, last, things), _out_of(prices, order, at, last, things)
    joined = prices.join[things[:, None], things]
    broken = prices.end[things][:, None] + prices.start[things]
    links = after[:-1, :, None] + before[1:, None, :]
    touching = np.flatnonzero(np.diff(at) == 1)
    for t in touching.tolist():
        links[t] = broken if last[at[t]] else joined
    found = order.copy()
    found[at] = things[cheapest_order(before[0], links, after[-1])]
    return found


def _into(prices: Prices, order: Ints, at: Ints, last: Truths, things: Ints) -> Ints:
    """(k, k) prices of each thing in each position, of its link with what stands before that."""
    previous = order[at - 1]
    begins = (at == 0) | last[at - 1]
    from_string = np.where(at == 0, 0, prices.end[previous])[:, None] + prices.start[things]
    return np.where(begins[:, None], from_string, prices.join[previous[:, None], things])


def _out_of(prices: Prices, order: Ints, at: Ints, last: Truths, things: Ints) -> Ints:
    """(k, k) the same with what stands after it."""
    n = len(order)
    following = order[(at + 1) % n]
    to_string = np.where(at == n - 1, 0, prices.start[following])[:, None] + prices.end[things]
    return np.where(last[at][:, None], to_string, prices.join[things, following[:, None]])


def _changed(
    prices: Prices, order: Ints, price: int, chance: np.random.Generator
) -> tuple[Ints, int]:
    """The order, or the cheapest of many that differ from it by one larger change, if no dearer."""
    n = len(order)
    if n < 3:
        return order, price
    moves = _moves(n, max(8, _BATCH // n), chance)
    orders = order[moves]
    found = price_of(prices, orders)
    k = int(found.argmin())
    return (orders[k], int(found[k])) if found[k] <= price else (order, price)


def _moves(n: int, count: int, chance: np.random.Generator) -> Ints:
    """Changed orders of n positions, (count, n): parts turned round, moved along, changed for others."""
    x = np.arange(n)
    ends = np.sort(chance.integers(n, size=(2, count)), axis=0)[:, :, None]
    p, q = ends
    inside = (x >= p) & (x <= q)
    width = q - p + 1
    reach = np.minimum(width, 4)
    turn = np.where(chance.random((count, 1)) < 0.5, 1 + chance.integers(4, size=(count, 1)) % reach, -1)
    turned = np.where(inside, p + q - x, x)
    shift = np.where(chance.random((count, 1)) < 0.5, turn, -turn)
    along = np.where(inside, p + (x - p + shift) % width, x)
    length = 1 + (chance.random((count, 1)) * np.minimum(q - p, n - q)).astype(np.int64)
    length = np.minimum(length, np.maximum(1, np.minimum(q - p, n - q)))
    first, second = (x >= p) & (x < p + length), (x >= q) & (x < q + length)
    back = chance.random((2, count, 1)) < 0.5
    to_first = np.where(back[0], q + length - 1 - (x - p), q + x - p)
    to_second = np.where(back[1], p + length - 1 - (x - q), p + x - q)
    swapped = np.where(first, to_first, np.where(second, to_second, x))
    swapped = np.where(p == q, x, swapped)
    kind = chance.integers(3, size=(count, 1))
    moves: Ints = np.where(kind == 0, turned, np.where(kind == 1, along, swapped))
    return moves


def _shaken(order: Ints, chance: np.random.Generator) -> Ints:
    """An order with three larger changes made at random."""
    if len(order) > 2:
        for move in _moves(len(order), 3, chance):
            order = order[move]
    return order
