"""Many junction laws at once: x = f(v) exactly, and v = g(x) from a table.

g = f^-1 is one monotone function for each cell type and temperature; light only shifts
where it is read. It is tabulated on even steps of asinh(x / scale), where it is almost
straight on both far sides, and read by cubic Hermite interpolation.
"""

from __future__ import annotations

from collections import OrderedDict
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pvsim.circuit.law import Junction
from pvsim.circuit.solution import Floats

TABLE_SIZE = 1024
TABLE_REACH_A = 1e8
_TABLES_KEPT = 3000
_LAWS_KEPT = 200
_MEETING_STEPS = 60
_LARGEST_EXPONENT = 500.0
_BLOCK = 16  # junctions whose tables are built together
_MOST_TABLE_STEPS = 20
_TABLE_STEP = 1e-7  # of the thermal voltage; Newton's next step would be its square
_LEAST_HEADROOM = 1e-9  # of 1 - v/Vbr: beyond any current a table reaches


class Laws:
    """Junction laws in rows, evaluated together; rows broadcast against points.

    Parameters
    ----------
    junctions : list of Junction
        One a row; equal ones share a table.
    """

    __slots__ = (
        "G",
        "H",
        "I01",
        "I02",
        "Vbr",
        "_a1",
        "_a2",
        "_breakdown",
        "_inverse",
        "_negative_m",
        "_rows",
        "_scale",
        "_steps",
        "a1",
        "any_breakdown",
        "any_second",
        "least_v",
        "m",
        "most_v",
    )

    def __init__(self, junctions: list[Junction]) -> None:
        columns = np.array(junctions, dtype=float).reshape(len(junctions), 8).T[:, :, None].copy()
        self.I01, self.a1, self.I02, a2, self.G, self.H, self.Vbr, self.m = columns
        self._a1, self._a2 = 1.0 / self.a1, 1.0 / a2
        self._breakdown, self._negative_m = -1.0 / self.Vbr, -self.m
        self.any_second = bool(self.I02.any())
        self.any_breakdown = bool(self.H.any())
        distinct = list(dict.fromkeys(junctions))
        place = {junction: k for k, junction in enumerate(distinct)}
        rows = np.array([place[junction] for junction in junctions], dtype=np.intp)
        self._rows = (rows * TABLE_SIZE)[:, None]
        self._inverse = inverse_tables(distinct)
        # g(-TABLE_REACH_A) and g(TABLE_REACH_A).
        self.least_v = self._inverse.value[rows, :1]
        self.most_v = self._inverse.value[rows, -1:]
        self._scale = 1.0 / self._inverse.scale[rows][:, None]
        self._steps = 1.0 / self._inverse.step[rows][:, None]

    def pick(self, rows: NDArray[np.intp]) -> Laws:
        """The laws of some rows, one row for each number given."""
        some = object.__new__(Laws)
        for name in Laws.__slots__:
            value = getattr(self, name)
            setattr(some, name, value[rows] if isinstance(value, np.ndarray) else value)
        return some

    def evaluate(self, v: Floats) -> tuple[Floats, Floats]:
        """f(v) and f'(v), both (rows, points), for v from least_v to most_v."""
        rise = v * self._a1
        np.expm1(rise, out=rise)
        rise *= self.I01
        slope = rise + self.I01
        slope *= self._a1
        if self.any_second:
            second = self.I02 * np.expm1(v * self._a2)
            rise += second
            slope += (second + self.I02) * self._a2
        if not self.any_breakdown:
            slope += self.G
            rise += v * self.G
            return rise, slope
        q = v * self._breakdown
        q += 1.0
        np.maximum(q, _LEAST_HEADROOM, out=q)
        ohmic = q**self._negative_m
        ohmic *= self.H
        # d/dv [v H q^-m] = H q^-m (1 + m (1 - q) / q)
        np.reciprocal(q, out=q)
        q -= 1.0
        q *= self.m
        q *= ohmic
        slope += q
        ohmic += self.G
        slope += ohmic
        ohmic *= v
        rise += ohmic
        return rise, slope

    def invert(self, x: Floats) -> Floats:
        """g(x), (rows, points), to about 1e-6 V: a start, not the answer."""
        return self._read(x)[0]

    def invert_with_slope(self, x: Floats) -> tuple[Floats, Floats]:
        """g(x) and g'(x), as `invert`."""
        v, t, d0, d1, rise, z = self._read(x)
        # Hermite derivative by step, then by x: du/dx = 1 / (scale step sqrt(1 + z^2)).
        slope = d0 + t * (2.0 * (3.0 * rise - 2.0 * d0 - d1) + 3.0 * t * (d0 + d1 - 2.0 * rise))
        slope *= self._scale * self._steps / np.sqrt(1.0 + z * z)
        return v, slope

    def meet(self, s: Floats, r_ohm: float) -> Floats:
        """v with v + r f(v) = s, (rows, points), to rounding."""
        # From beyond the root, where Newton's steps fall onto it from one side.
        v = self.invert(s / r_ohm)
        v = np.where(s > 0.0, np.minimum(v, s), np.maximum(v, s))
        for _ in range(_MEETING_STEPS):
            f, df = self.evaluate(v)
            step = (v + r_ohm * f - s) / (1.0 + r_ohm * df)
            v = v - step
            v = np.where(s > 0.0, np.clip(v, 0.0, self.most_v), np.clip(v, self.least_v, 0.0))
            if np.all(np.abs(step) <= 1e-12 * np.abs(v) + 1e-15):
                break
        return v

    def _read(self, x: Floats) -> tuple[Floats, Floats, Floats, Floats, Floats, Floats]:
        z = x * self._scale
        t = np.arcsinh(z)
        t *= self._steps
        t += TABLE_SIZE // 2
        np.maximum(t, 0.0, out=t)
        np.minimum(t, TABLE_SIZE - 1.000001, out=t)
        k = t.astype(np.intp)
        t -= k
        k = k + self._rows
        value, slope = self._inverse.value, self._inverse.slope
        y0, d0 = value.take(k), slope.take(k)
        k += 1
        rise, d1 = value.take(k), slope.take(k)
        rise -= y0
        v = t * (d0 + d1 - 2.0 * rise)
        v += 3.0 * rise - 2.0 * d0 - d1
        v *= t
        v += d0
        v *= t
        v += y0
        return v, t, d0, d1, rise, z


_laws: OrderedDict[tuple[Junction, ...], Laws] = OrderedDict()


def laws_of(junctions: list[Junction]) -> Laws:
    """Laws in rows, kept for the next time; a single row where all are equal."""
    first = junctions[0]
    # The same object nearly always: comparing identities spares hashing them all.
    alike = all(junction is first for junction in junctions)
    distinct = (first,) if alike else tuple(dict.fromkeys(junctions))
    laws = _laws.get(distinct)
    if laws is None:
        laws = _laws[distinct] = Laws(list(distinct))
        while len(_laws) > _LAWS_KEPT:
            _laws.popitem(last=False)
    if len(distinct) == 1:
        return laws
    place = {junction: k for k, junction in enumerate(distinct)}
    return laws.pick(np.array([place[junction] for junction in junctions], dtype=np.intp))


class Inverse(NamedTuple):
    """Tables of g, one row a junction: x = scale sinh(step (k - TABLE_SIZE // 2)) at knot k.

    scale and step have the shape (rows,), value and slope (rows, TABLE_SIZE); slope is
    the derivative times the step. Not an array itself, so that picked rows share it.
    """

    scale: Floats
    step: Floats
    value: Floats
    slope: Floats


_tables: dict[Junction, Inverse] = {}


def inverse_tables(junctions: list[Junction]) -> Inverse:
    """The tables of some junctions, each built once."""
    missing = [junction for junction in junctions if junction not in _tables]
    if missing:
        if len(_tables) + len(missing) > _TABLES_KEPT:
            _tables.clear()
            missing = junctions
        built = _build_tables(np.array(missing, dtype=float))
        for k, junction in enumerate(missing):
            _tables[junction] = Inverse(*(part[k : k + 1] for part in built))
    rows = [_tables[junction] for junction in junctions]
    return rows[0] if len(rows) == 1 else Inverse(*(np.concatenate(part) for part in zip(*rows, strict=True)))


def _build_tables(rows: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    # A few rows at a time: their intermediate values stay in a processor's cache.
    blocks = [_build_block(rows[first : first + _BLOCK]) for first in range(0, len(rows), _BLOCK)]
    scale, step, value, slope = (np.concatenate(part) for part in zip(*blocks, strict=True))
    return scale, step, value, slope


def _build_block(rows: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    I01, a1, I02, a2, G, H, _, _ = rows.T[:, :, None]
    # The knee between ohmic and exponential current sets the scale of the coordinate.
    scale = np.clip(a1 * (I01 / a1 + I02 / a2 + G + H), 1e-9, 1.0)
    half = TABLE_SIZE // 2
    step = np.arcsinh(TABLE_REACH_A / scale) / (half - 1)
    u = step * np.arange(half + 1)
    x = scale * np.sinh(u)
    forward, forward_slope = _forward(rows, x[:, :half])
    reverse, reverse_slope = _reverse(rows, x)
    value = np.concatenate((-reverse[:, :0:-1], forward), axis=1)
    df = np.concatenate((reverse_slope[:, :0:-1], forward_slope), axis=1)
    slope = np.concatenate((u[:, :0:-1], u[:, :half]), axis=1)
    np.cosh(slope, out=slope)
    slope *= scale * step
    slope /= df
    # Monotone cubics: at most three times either neighbouring rise (Fritsch and Carlson 1980).
    most = 3.0 * np.diff(value, axis=1)
    np.minimum(slope[:, 1:], most, out=slope[:, 1:])
    np.minimum(slope[:, :-1], most, out=slope[:, :-1])
    return scale[:, 0], step[:, 0], value, slope


def _forward(rows: Floats, y: Floats) -> tuple[Floats, Floats]:
    """v >= 0 with f(v) = y, and f'(v)."""
    I01, a1, I02, a2, G, H, Vbr, m = rows.T[:, :, None]
    two, leaks = bool(I02.any()), bool(H.any())
    # f is convex, and this start lies at or above the root, so Newton falls onto it.
    v = np.minimum(a1 * np.log1p(y / I01), y / (G + I01 / a1))
    if two:
        v = np.minimum(v, np.where(I02 > 0.0, a2 * np.log1p(y / np.where(I02 > 0.0, I02, 1.0)), v))
    for _ in range(_MOST_TABLE_STEPS):
        f = np.expm1(v / a1)
        f *= I01
        df = (f + I01) / a1
        if two:
            second = I02 * np.expm1(v / a2)
            f += second
            df += (second + I02) / a2
        ohmic: Floats = G
        if leaks:
            rise = v / -Vbr
            lift = H * np.exp(-m * np.log1p(rise))
            df -= lift * (m * rise / (1.0 + rise))
            ohmic = G + lift
        df += ohmic
        f += v * ohmic
        f -= y
        f /= df
        np.minimum(f, v, out=f)
        v -= f
        if float((np.abs(f) / a1).max()) < _TABLE_STEP:
            break
    return v, df


def _reverse(rows: Floats, y: Floats) -> tuple[Floats, Floats]:
    """w >= 0 with f(-w) = -y, and f'(-w)."""
    I01, a1, I02, a2, G, H, Vbr, m = rows.T[:, :, None]
    two, leaks = bool(I02.any()), bool(H.any())
    # In s with w = b (1 - exp(-s)) the law is convex; again from above.
    # Without breakdown the same coordinate serves, with b far beyond every voltage.
    b = np.where(H > 0.0, -Vbr, 4.0 * TABLE_REACH_A / G)
    share = np.minimum(y / (G * b), 0.999)
    s = np.where(share < 0.999, -np.log1p(-share), np.inf)
    if leaks:
        with np.errstate(divide="ignore", invalid="ignore"):  # logarithms of what np.where leaves out
            steep = np.where(H > 0.0, np.maximum(1.0, np.log(y / (0.63 * b * H)) / m), np.inf)
        s = np.minimum(s, steep)
    s = np.where(np.isfinite(s), s, 1.0)
    for _ in range(_MOST_TABLE_STEPS):
        w = -b * np.expm1(-s)
        left = np.exp(-s)
        first = np.exp(-w / a1)
        f = I01 * (1.0 - first)
        df = first * (I01 / a1)
        if two:
            second = np.exp(-w / a2)
            f += I02 * (1.0 - second)
            df += second * (I02 / a2)
        ohmic: Floats = G
        if leaks:
            lift = H * np.exp(np.minimum(m * s, _LARGEST_EXPONENT))
            ohmic = G + lift
            # f' of v H (1 - v/Vbr)^-m is its lift times 1 + m w / (b - w).
            df += lift * (m * w / (b * left))
        df += ohmic
        f += w * ohmic
        f -= y
        f /= df * (b * left)
        np.minimum(f, s, out=f)
        s -= f
        if bool((np.abs(f) <= _TABLE_STEP * s).all()):
            break
    return -b * np.expm1(-s), df
