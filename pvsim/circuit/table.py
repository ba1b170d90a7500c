"""A tabulated characteristic: where an exact solve starts from."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from pvsim.circuit import kernel
from pvsim.circuit.floats import Floats

Along = Literal["I", "V"]

LEVEL = 1e-15
_CLOSEST = 1e-18  # volts and amperes: the cubics divide by the distance of knots three times


class Table:
    """A falling characteristic on knots, read by monotone cubic interpolation.

    Parameters
    ----------
    I : (n,)
        Currents, rising.
    V : (n,)
        Voltages, falling.
    slope : (n,)
        dV/dI, negative.
    """

    __slots__ = ("I", "V", "_current", "_voltage", "slope")

    def __init__(self, I: Floats, V: Floats, slope: Floats) -> None:
        # Knots closer than rounding can tell apart would divide by zero.
        apart = _apart(I, np.minimum.accumulate(V)[:-1], V)
        if not apart.all():
            keep = np.concatenate(([True], apart))
            I, V, slope = I[keep], V[keep], slope[keep]
        self._given(I, V, slope)

    def _given(self, I: Floats, V: Floats, slope: Floats) -> Table:
        self.I, self.V, self.slope = I, V, slope
        # Many tables are read one way only.
        self._voltage: Floats | None = None
        self._current: Floats | None = None
        return self

    @property
    def by_current(self) -> Floats:
        """The cubics of V(I), as `cubics_of` has them."""
        if self._voltage is None:
            through = kernel.cubics_through if kernel.is_compiled() else cubics_of
            self._voltage = through(self.I, self.V, self.slope)
        return self._voltage

    @property
    def by_voltage(self) -> Floats:
        """The cubics of I(V), as `cubics_of` has them."""
        if self._current is None and kernel.is_compiled():
            self._current = kernel.cubics_through(self.V, self.I, self.slope, backwards=True)
        elif self._current is None:
            self._current = cubics_of(self.V[::-1], self.I[::-1], 1.0 / self.slope[::-1])
        return self._current

    @property
    def falling(self) -> Floats:
        """The knots as (3, n): V rising, I, dI/dV."""
        return self.by_voltage[:3, 1:]

    def voltage(self, I: Floats) -> Floats:
        """V at currents; straight on beyond the ends."""
        return _read(self.by_current, I)

    def current(self, V: Floats) -> Floats:
        """I at voltages; straight on beyond the ends."""
        return _read(self.by_voltage, V)

    def voltage_and_slope(self, I: Floats) -> tuple[Floats, Floats]:
        """V and dV/dI at currents."""
        return read_with_slope(self.by_current, self.by_current[0, 1:].searchsorted(I), I)

    def current_and_slope(self, V: Floats) -> tuple[Floats, Floats]:
        """I and dI/dV at voltages."""
        return read_with_slope(self.by_voltage, self.by_voltage[0, 1:].searchsorted(V), V)


def tables_of(I: Floats, V: Floats, slope: Floats, lengths: NDArray[np.intp]) -> list[Table]:
    """Several tables from their knots, one table behind the other.

    Parameters
    ----------
    I, V, slope : (knots,)
        As of `Table`.
    lengths : (tables,)
        How many knots each has.
    """
    if len(lengths) == 1:
        return [Table(I, V, slope)]
    ends = np.cumsum(lengths)
    apart = _apart(I, V[:-1], V)
    apart[ends[:-1] - 1] = True
    well = bool(apart.all())  # nearly always, and asked once instead of table by table
    made = []
    for first, end in zip((ends - lengths).tolist(), ends.tolist(), strict=True):
        knots = I[first:end].copy(), V[first:end].copy(), slope[first:end].copy()
        made.append(Table.__new__(Table)._given(*knots) if well else Table(*knots))
    return made


def _apart(I: Floats, above: Floats, V: Floats) -> NDArray[np.bool_]:
    """Which knots but the first rounding can tell apart from those before, the lowest of which is above."""
    apart = V[1:] < above - (1e-14 * np.abs(above) + _CLOSEST)
    apart &= I[1:] > I[:-1] + _CLOSEST
    return apart


def together(tables: Sequence[Table], along: Along) -> Floats:
    """The cubics of some tables along I or V, one table behind the other, as `cubics_of` has them."""
    if len(tables) == 1:
        return tables[0].by_current if along == "I" else tables[0].by_voltage
    name = "_voltage" if along == "I" else "_current"
    known: list[Floats | None] = [getattr(table, name) for table in tables]
    if all(cubics is not None for cubics in known):
        return np.concatenate(known, axis=1)  # type: ignore[arg-type]
    if along == "I":
        knots = [(table.I, table.V, table.slope) for table in tables]
    else:
        knots = [(table.V[::-1], table.I[::-1], 1.0 / table.slope[::-1]) for table in tables]
    first = np.cumsum([0, *(len(table.I) for table in tables)])
    x, y, d = (np.concatenate(part) for part in zip(*knots, strict=True))
    cubics = cubics_of(x, y, d, first[:-1])
    for k, (table, cubics_before) in enumerate(zip(tables, known, strict=True)):
        if cubics_before is None:  # a copy, or all would be kept as long as one
            setattr(table, name, cubics[:, first[k] + k : first[k + 1] + k + 1].copy())
    return cubics


def cubics_of(x: Floats, y: Floats, d: Floats, first: NDArray[np.intp] | None = None) -> Floats:
    """Monotone cubics through the knots of falling functions with slopes d.

    Parameters
    ----------
    x, y, d : (n,)
        Of one function, or of several, one behind the other.
    first : (functions,), optional
        The first knot of each of several.

    Returns
    -------
    (5, n + functions)
        x0, y0, c1, c2, c3 of y = y0 + c1 u + c2 u^2 + c3 u^3, u = x - x0: of each function the straight
        end before its first knot, each stretch from one knot to the next, and the straight end after the
        last.
    """
    joints = None if first is None or len(first) == 1 else first[1:]
    cubics = np.empty((5, len(x) + 1))
    cubics[0, 1:], cubics[1, 1:] = x, y
    x0, y0, c1, c2, c3 = cubics[:, 1:-1]
    h = x[1:] - x0
    if joints is not None:
        h[joints - 1] = 1.0
    secant = (y[1:] - y0) / h
    # At most three times the flatter neighbour keeps a cubic monotone (Fritsch-Carlson 1980).
    limit = 3.0 * secant
    if joints is not None:
        limit[joints - 1] = -np.inf
    slopes = cubics[2, 1:]
    np.maximum(d[1:], limit, out=slopes[1:])
    slopes[0] = d[0]
    np.maximum(slopes[:-1], limit, out=slopes[:-1])
    np.subtract(secant, c1, out=c2)
    np.subtract(slopes[1:], secant, out=c3)
    c3 -= c2
    c3 /= h
    c2 /= h
    c2 -= c3
    c3 /= h
    cubics[:3, 0] = cubics[:3, 1]
    cubics[3:, 0] = cubics[3:, -1] = 0.0
    if joints is None:
        return cubics
    # The last knot of each begins a straight end, and so does what lies before the first of the next.
    cubics[3:, joints] = 0.0
    times = np.ones(len(x) + 1, dtype=np.intp)
    times[joints + 1] = 2
    cubics = cubics.take(np.repeat(np.arange(len(x) + 1), times), axis=1)
    cubics[3:, joints + np.arange(1, len(joints) + 1)] = 0.0
    return cubics


def _read(cubics: Floats, x: Floats) -> Floats:
    if kernel.is_compiled():
        return kernel.read(cubics, x)
    x0, y0, c1, c2, y = cubics.take(cubics[0, 1:].searchsorted(x), axis=1)
    u: Floats = x - x0
    y *= u
    y += c2
    y *= u
    y += c1
    y *= u
    y += y0
    read: Floats = y
    return read


def read_with_slope(cubics: Floats, column: NDArray[np.intp], x: Floats) -> tuple[Floats, Floats]:
    """y and dy/dx at x (n,), each in a column of the cubics."""
    x0, y0, c1, c2, c3 = cubics.take(column, axis=1)
    u = x - x0
    c3 *= u
    slope = 3.0 * c3
    c3 += c2
    c2 += c2
    slope += c2
    slope *= u
    slope += c1
    c3 *= u
    c3 += c1
    c3 *= u
    c3 += y0
    # A monotone cubic may be level in one point; its secant is not.
    return c3, np.minimum(slope, -LEVEL, out=slope)
