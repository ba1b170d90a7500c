"""The inverse v = g(x) of junction laws, as tables.

g = f^-1 is one monotone function for each cell type and temperature; light only shifts
where it is read. It is tabulated on even steps of asinh(x / scale), where it is almost
straight on both far sides, to be read by cubic Hermite interpolation. With heat feedback
every cell has a temperature of its own and asks for hundreds of tables a round.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from pvsim.circuit import budget
from pvsim.circuit.floats import Floats
from pvsim.circuit.leaf import Junction

TABLE_SIZE = 1024
TABLE_REACH_A = 1e8
# Near breakdown a law grows so steep that the rounding of a voltage is more current than a solver may
# miss. From this slope on it goes straight; for real cells that is beyond ten thousand amperes.
STEEPEST_S = 1e6
LEAST_HEADROOM, MOST_HEADROOM = 1e-14, 0.1  # of 1 - v/Vbr at which that may be
_TABLES_KEPT = 3000
_LARGEST_EXPONENT = 500.0
_BLOCK = 16  # junctions whose tables are built together: what is on the way stays in a processor's cache
_MOST_STEPS = 20
_SETTLED = 1e-7  # relative; Newton's next step would be about its square


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
    # Looked up once: another thread may clear what is kept at any time.
    known = {junction: _tables.get(junction) for junction in junctions}
    missing = [junction for junction, table in known.items() if table is None]
    if missing:
        if len(_tables) + len(missing) > _TABLES_KEPT:
            _tables.clear()
        built = _build_tables(np.array(missing, dtype=float))
        for k, junction in enumerate(missing):
            known[junction] = _tables[junction] = Inverse(*(part[k : k + 1] for part in built))
    rows = [table for junction in junctions if (table := known[junction]) is not None]
    return rows[0] if len(rows) == 1 else Inverse(*(np.concatenate(part) for part in zip(*rows, strict=True)))


def headroom(H: Floats, m: Floats) -> Floats:
    """1 - v/Vbr at which v H (1 - v/Vbr)^-m becomes as steep as STEEPEST_S, and straight."""
    least: Floats = np.clip((H * m / STEEPEST_S) ** (1.0 / (m + 1.0)), LEAST_HEADROOM, MOST_HEADROOM)
    return least


def _build_tables(rows: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    blocks = []
    for first in range(0, len(rows), _BLOCK):
        budget.check()
        blocks.append(_build_block(rows[first : first + _BLOCK]))
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
    for _ in range(_MOST_STEPS):
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
        if float((np.abs(f) / a1).max()) < _SETTLED:
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
    for _ in range(_MOST_STEPS):
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
        if bool((np.abs(f) <= _SETTLED * s).all()):
            break
    w = -b * np.expm1(-s)
    if leaks:
        # Beyond w0 the law is its tangent there; all that saturates has saturated.
        q0 = headroom(H, m)
        w0 = np.where(H > 0.0, b * (1.0 - q0), np.inf)
        lift = H * q0**-m
        y0 = I01 * -np.expm1(-w0 / a1) + I02 * -np.expm1(-w0 / a2) + np.where(H > 0.0, w0, 0.0) * (G + lift)
        steep = G + lift * (1.0 + m * (1.0 - q0) / q0) + np.exp(-w0 / a1) * (I01 / a1)
        beyond = w > w0
        w = np.where(beyond, np.where(H > 0.0, w0, 0.0) + (y - y0) / steep, w)
        df = np.where(beyond, steep, df)
    return w, df
