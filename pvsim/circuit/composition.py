"""The tables of parts in series and side by side, of many parts together.

Either way the curves of a part's children are added where any of them has a knot: in series voltages at one
current, side by side currents at one voltage.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from pvsim.circuit import kernel
from pvsim.circuit.floats import Floats
from pvsim.circuit.knots import rising
from pvsim.circuit.table import LEVEL, Along, Table, read_with_slope, tables_of, together

__all__ = ["MOST_KNOTS", "Part", "parallel_tables", "series_tables"]

MOST_KNOTS = 1800
WIDEST = 1e4  # volts or amperes: if some go further all are composed one by one, or rounding would show
_MARGIN = 1.0  # volts or amperes between the stretches of two parts
_NEAR = 1.5  # of the reach: as far as a sum of currents is kept
_FEWEST = 4  # knots without which nothing is left out

Part = Sequence[tuple[Table, int]]  # the tables of its children, and how often each stands there


def series_tables(parts: Sequence[Part]) -> list[Table]:
    """The tables of some parts, each of equally many children in series."""
    stretches = np.array([_whole_stretch([table for table, _ in part]) for part in parts])
    apart = _apart(stretches)
    if apart > WIDEST:
        return [series_tables([part])[0] for part in parts]
    children, counts = _children(parts, "I", stretches, apart)
    x, whose = _merged([child.moved for child in children], children[0])
    V, slope = _sum(children, counts, x, whose)
    return tables_of(x, V, slope, np.bincount(whose))


def parallel_tables(parts: Sequence[Part], reach_A: float) -> list[Table]:
    """The tables of some parts, each of equally many children side by side.

    Parameters
    ----------
    reach_A : float
        The currents they are wanted for, up and down.
    """
    # Beyond the first child that runs out of knots on either side nothing is known.
    stretches = np.array([_common_stretch([table for table, _ in part]) for part in parts])
    apart = _apart(stretches)
    if apart > WIDEST:
        return [parallel_tables([part], reach_A)[0] for part in parts]
    children, counts = _children(parts, "V", stretches, apart)
    x, whose = _merged([child.within(stretches) for child in children], children[0])
    I, slope = _sum(children, counts, x, whose)
    near = np.abs(I) <= _NEAR * reach_A
    lengths = np.bincount(whose[near], minlength=len(parts))
    few = lengths < _FEWEST
    if few.any():
        near |= few[whose]
        lengths = np.bincount(whose[near])
    # From the last part's highest voltage down, so that currents rise.
    I, V, slope = I[near][::-1].copy(), x[near][::-1].copy(), 1.0 / slope[near][::-1]
    return tables_of(I, V, slope, lengths[::-1])[::-1]


def _whole_stretch(tables: list[Table]) -> tuple[float, float]:
    """From which current to which any table has knots."""
    return min(table.I[0] for table in tables), max(table.I[-1] for table in tables)


def _common_stretch(tables: list[Table]) -> tuple[float, float]:
    """From which voltage to which all tables have knots; a little, where there is nothing in common."""
    one, other = max(table.V[-1] for table in tables), min(table.V[0] for table in tables)
    least, most = min(one, other), max(one, other)
    return (least, most) if least < most else (least - 1.0, most + 1.0)


def _apart(stretches: Floats) -> float:
    """How far the stretches of parts, (parts, 2), are moved one from the other; 0 for one part."""
    return 2.0 * float(np.abs(stretches).max()) + 4.0 * _MARGIN if len(stretches) > 1 else 0.0


class Rows:
    """One table of each of some parts, its knots behind those of the part before.

    Parameters
    ----------
    tables : sequence of Table
    along : "I" or "V"
        What they are read at.
    stretches : (parts, 2)
        From where to where they will be read.
    apart : float
        How far each is moved from the one before, so that all knots rise.
    """

    __slots__ = ("_along", "_tables", "apart", "moved", "whose")

    def __init__(self, tables: Sequence[Table], along: Along, stretches: Floats, apart: float) -> None:
        self.apart, self._tables, self._along = apart, tables, along
        knots = [table.I if along == "I" else table.V[::-1] for table in tables]
        if not apart:
            (self.moved,) = knots
            return
        self.whose = np.arange(len(tables)).repeat([len(one) for one in knots])
        least, most = stretches[self.whose].T
        # What lies far beyond is counted, but where it is does not matter.
        x = np.minimum(np.maximum(np.concatenate(knots), least - _MARGIN), most + _MARGIN)
        self.moved = x + apart * self.whose

    def within(self, stretches: Floats) -> Floats:
        """The knots, those beyond a part's stretch drawn in to its ends."""
        if not self.apart:
            ends = stretches[0]
        else:
            ends = (stretches + self.apart * np.arange(len(stretches))[:, None])[self.whose].T
        drawn_in: Floats = np.minimum(np.maximum(self.moved, ends[0]), ends[1])
        return drawn_in

    def add(self, x: Floats, begin: NDArray[np.int64], times: Floats | None, sums: Floats) -> None:
        """Add y and dy/dx at x to sums, (2, n), by the kernel; begin has the first x of each part."""
        many = np.ones(len(begin) - 1) if times is None else times
        by_current = self._along == "I"
        cubics = [table.by_current if by_current else table.by_voltage for table in self._tables]
        kernel.add(cubics, begin, many, x, sums, -LEVEL)

    def read(self, x: Floats, whose: NDArray[np.intp]) -> tuple[Floats, Floats]:
        """y and dy/dx at x, (n,), of the part each belongs to."""
        cubics = together(self._tables, self._along)
        if not self.apart:
            return read_with_slope(cubics, self.moved.searchsorted(x), x)
        # How many of these knots lie below each of x, the other way round: there are fewer of these.
        above = (x + self.apart * whose).searchsorted(self.moved, side="right")
        below = np.bincount(above, minlength=len(x)).cumsum()[: len(x)]
        return read_with_slope(cubics, below + whose, x)


def _children(
    parts: Sequence[Part], along: Along, stretches: Floats, apart: float
) -> tuple[list[Rows], list[Floats | None]]:
    """The first child of every part, the second and so on, and how often each stands there; None for once."""
    columns = list(zip(*parts, strict=True))
    children = [Rows([table for table, _ in column], along, stretches, apart) for column in columns]
    counts = [[count for _, count in column] for column in columns]
    return children, [None if set(times) == {1} else np.array(times, dtype=float) for times in counts]


def _merged(knots: list[Floats], rows: Rows) -> tuple[Floats, NDArray[np.intp]]:
    """The distinct knots of each part's children, rising, and the part of each; thinned when too many.

    Parameters
    ----------
    knots : list of (n,)
        Of each child of all parts, those parts moved apart.
    """
    moved = rising(np.concatenate(knots))
    if not rows.apart:
        if len(moved) > MOST_KNOTS:
            moved = moved[_thinned(0, len(moved))]
        return moved, np.zeros(len(moved), dtype=np.intp)
    ends = moved.searchsorted(rows.apart * (np.arange(rows.whose[-1] + 1) + 0.5))
    many = np.diff(ends, prepend=0)
    whose = np.arange(len(many)).repeat(many)
    if many.max() > MOST_KNOTS:
        stretches = zip((ends - many).tolist(), ends.tolist(), strict=True)
        keep = np.concatenate([_thinned(first, end) for first, end in stretches])
        moved, whose = moved[keep], whose[keep]
    return moved - rows.apart * whose, whose


def _thinned(first: int, end: int) -> NDArray[np.intp]:
    """Which of the knots from first to before end are kept: evenly, both ends among them."""
    return np.linspace(first, end - 1, min(end - first, MOST_KNOTS)).astype(np.intp)


def _sum(
    children: list[Rows], counts: list[Floats | None], x: Floats, whose: NDArray[np.intp]
) -> tuple[Floats, Floats]:
    """The curves of the children of each part added, and the slope of the sum."""
    if kernel.is_compiled():
        sums = np.zeros((2, len(x)))
        begin = np.concatenate(([0], np.bincount(whose).cumsum()))
        for child, times in zip(children, counts, strict=True):
            child.add(x, begin, times, sums)
        return sums[0], sums[1]
    curves = [child.read(x, whose) for child in children]
    for curve, times in zip(curves, counts, strict=True):
        if times is not None:
            for part in curve:
                part *= times[whose]
    (y, slope), *others = curves
    for y_child, slope_child in others:
        y += y_child
        slope += slope_child
    return y, slope
