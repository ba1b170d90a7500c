"""A tabulated characteristic: where an exact solve starts from."""

from __future__ import annotations

import numpy as np

from pvsim.circuit.floats import Floats

_LEVEL = 1e-15
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
        lowest = np.minimum.accumulate(V)[:-1]
        apart = V[1:] < lowest - (1e-14 * np.abs(lowest) + _CLOSEST)
        apart &= I[1:] > I[:-1] + _CLOSEST
        if not apart.all():
            keep = np.concatenate(([True], apart))
            I, V, slope = I[keep], V[keep], slope[keep]
        self.I, self.V, self.slope = I, V, slope
        # Many tables are read one way only.
        self._voltage: Floats | None = None
        self._current: Floats | None = None

    @property
    def by_current(self) -> Floats:
        """The cubics of V(I), as `_cubics` has them."""
        if self._voltage is None:
            self._voltage = _cubics(self.I, self.V, self.slope)
        return self._voltage

    @property
    def by_voltage(self) -> Floats:
        """The cubics of I(V), as `_cubics` has them."""
        if self._current is None:
            self._current = _cubics(self.V[::-1], self.I[::-1], 1.0 / self.slope[::-1])
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
        return _read_with_slope(self.by_current, I)

    def current_and_slope(self, V: Floats) -> tuple[Floats, Floats]:
        """I and dI/dV at voltages."""
        return _read_with_slope(self.by_voltage, V)


def _cubics(x: Floats, y: Floats, d: Floats) -> Floats:
    """Monotone cubics through knots (n,) of a falling function with slopes d.

    Returns
    -------
    (5, n + 1)
        x0, y0, c1, c2, c3 of y = y0 + c1 u + c2 u^2 + c3 u^3, u = x - x0: of the straight end
        before the first knot, of each stretch from one knot to the next, and of the straight
        end after the last.
    """
    cubics = np.empty((5, len(x) + 1))
    cubics[0, 1:], cubics[1, 1:] = x, y
    x0, y0, c1, c2, c3 = cubics[:, 1:-1]
    h = x[1:] - x0
    secant = (y[1:] - y0) / h
    # At most three times the flatter neighbour keeps a cubic monotone (Fritsch-Carlson 1980).
    limit = 3.0 * secant
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
    return cubics


def _read(cubics: Floats, x: Floats) -> Floats:
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


def _read_with_slope(cubics: Floats, x: Floats) -> tuple[Floats, Floats]:
    x0, y0, c1, c2, c3 = cubics.take(cubics[0, 1:].searchsorted(x), axis=1)
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
    return c3, np.minimum(slope, -_LEVEL, out=slope)
