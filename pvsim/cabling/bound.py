"""How little a wiring can cost at the least."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from pvsim.cabling.checks import Floats
from pvsim.cabling.price import Prices, as_floats, whole_bound
from pvsim.cabling.walks import cheapest_walks

__all__ = ["Bound", "lower_bounds", "parts_of"]

_PATIENCE = 40  # rounds without a better bound, then shorter steps
_SMOOTH = 0.7
_SHORTEST = 1e-4


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Bound:
    """What no wiring falls below.

    Parameters
    ----------
    known : int
        In what the goal counts.
    exactly : float
        The same before it was rounded up.
    price : (n,)
        Prices of modules that gave it.
    reached_only : bool
        Whether wirings with an extension were left out.
    """

    known: int
    exactly: float
    price: Floats
    reached_only: bool


def lower_bounds(prices: Prices, above: int, *, reached_only: bool = False) -> Iterator[Bound]:
    """Bounds that no wiring falls below, in what the goal counts; one a round, each at least the last.

    Parameters
    ----------
    prices : Prices
        Of the parts.
    above : int
        What the best known wiring costs, in what the goal counts: sets the length of the steps.
    reached_only : bool
        Leave out all joints that need an extension: the bound then holds for wirings without any.

    Notes
    -----
    That each module is taken once is not demanded but priced (Lagrange): modules get prices which raise
    those taken too often and lower those left out, and each string is the cheapest walk of its length
    then. What is left of the cost is a bound, whatever the prices; they follow a subgradient (M. Held,
    P. Wolfe, H. P. Crowder, Math. Programming 6 (1974) 62), smoothed as by P. M. Camerini, L. Fratta,
    F. Maffioli, Math. Programming Study 3 (1975) 26.
    """
    start, end, join = parts_of(prices, reached_only=reached_only)
    n = len(start)
    counts = np.bincount(prices.lengths)
    price, smooth, scale, patience = np.zeros(n), np.zeros(n), 1.0, 0
    best = Bound(known=0, exactly=-np.inf, price=price, reached_only=reached_only)
    while scale >= _SHORTEST:
        bound, visits = cheapest_walks(start, end, join, price, counts)
        if bound > best.exactly + 1e-9 * max(1.0, abs(bound)):
            known = max(best.known, whole_bound(bound))
            best = Bound(known=known, exactly=bound, price=price, reached_only=reached_only)
            patience = 0
        else:
            patience += 1
        yield best
        slope = 1.0 - visits
        if not slope.any():
            return  # each module is taken once: the walks are a wiring, and the bound its cost
        if patience > _PATIENCE:
            scale, patience, price, smooth = 0.5 * scale, 0, best.price, np.zeros(n)
            continue
        smooth = slope + _SMOOTH * smooth
        price = price + scale * max(above - bound, 1.0) / float(smooth @ smooth) * smooth


def parts_of(prices: Prices, *, reached_only: bool) -> tuple[Floats, Floats, Floats]:
    """What the goal counts of start, end and join; infinite for joints that are left out."""
    start, end, join = as_floats(prices)
    np.fill_diagonal(join, np.inf)
    if reached_only:
        join = np.where(join >= prices.unit, np.inf, join)
    return start, end, join


def without_extension(prices: Prices, main: int) -> bool:
    """Whether what the goal counts shows that no extension is needed, and so that none is worth a look."""
    return prices.goal == "reach" and main < prices.unit
