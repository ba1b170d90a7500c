"""Temperatures kept between the coldest and the hottest that can still be right."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pvsim.array.heat import COLDEST_K, HOTTEST_K
from pvsim.circuit.floats import Floats


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Bracket:
    """Between which temperatures each cell's steady one lies, as far as the rounds have shown.

    A cell that would settle above its temperature has its steady one above it, as long as the
    others stay. They do not, so a side that holds a cell back twice in a row is opened again.

    Parameters
    ----------
    low_K, high_K : (cells,)
        At first all that the heat balance can give.
    held : (cells,)
        1 where the last step was held back from above, -1 from below, 0 elsewhere.
    """

    low_K: Floats
    high_K: Floats
    held: Floats


def wide_open(cells: int) -> Bracket:
    """A bracket that knows nothing yet."""
    return Bracket(low_K=np.full(cells, COLDEST_K), high_K=np.full(cells, HOTTEST_K), held=np.zeros(cells))


def step_within(bracket: Bracket, T: Floats, change: Floats, wanted: Floats) -> tuple[Floats, Bracket]:
    """The wanted temperatures where the bracket has them, half-way to its end where not.

    Parameters
    ----------
    T, change, wanted : (cells,)
        Temperatures now, how far above them each cell would settle, and the next ones by a
        secant. In K.

    Returns
    -------
    (cells,), Bracket
        Next temperatures, never outside COLDEST_K to HOTTEST_K, and the bracket with what this
        round has shown.
    """
    low = np.where(change > 0.0, T, np.where(bracket.held < 0.0, COLDEST_K, bracket.low_K))
    high = np.where(change < 0.0, T, np.where(bracket.held > 0.0, HOTTEST_K, bracket.high_K))
    crossed = low > high  # the others have moved: what this round shows counts
    low = np.where(crossed & (change < 0.0), COLDEST_K, low)
    high = np.where(crossed & (change > 0.0), HOTTEST_K, high)
    above, below = wanted > high, wanted < low
    held = np.where(above, 1.0, np.where(below, -1.0, 0.0))
    safe = np.where(above, 0.5 * (T + high), np.where(below, 0.5 * (T + low), wanted))
    return safe, Bracket(low_K=low, high_K=high, held=held)
