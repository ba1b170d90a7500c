"""Rows of modules on level ground, seen from the end of the rows: their shadows, and the sky between them.

In the cross-section y runs horizontally from front to back and z up; row r has its lower edge at
y = (r - 1) pitch.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pvsim.numbers import format_fixed
from pvsim.sky.checks import above_zero, finite, numbers, refuse, whole
from pvsim.sky.floats import ArrayLike, Floats
from pvsim.words import _

MOST_ROWS = 200
STRIPS_PER_PITCH = 32
LOWEST_SUN = 1e-3  # sine of its height; below it its light on level ground is nothing
FAR_m = 1e9


@dataclass(frozen=True, slots=True, kw_only=True)
class ModuleRows:
    """Parallel rows of modules on level ground.

    Parameters
    ----------
    slope_m : float
        From a row's lower edge to its upper edge, along the modules.
    tilt_deg : float
        0 to 90.
    height_m : float
        Of the lower edge above the ground.
    pitch_m : float
        From one row to the next, horizontally. Of one row alone it means nothing.
    rows : int
        How many.
    """

    slope_m: float
    tilt_deg: float
    height_m: float
    pitch_m: float = 10.0
    rows: int = 1

    def __post_init__(self) -> None:
        above_zero(self, "slope_m", most=100.0)
        finite(self, "tilt_deg", least=0.0, most=90.0)
        finite(self, "height_m", least=0.0, most=100.0)
        above_zero(self, "pitch_m", most=1000.0)
        object.__setattr__(
            self, "rows", whole(self.rows, "rows", least=1, most=MOST_ROWS, of=_("rows of modules"))
        )
        depth = self.slope_m * np.cos(np.radians(self.tilt_deg))
        if self.rows > 1 and self.pitch_m <= depth + 1e-6:
            refuse(
                "pitch_m",
                self.pitch_m,
                _("more than {depth}, the depth of a row seen from above").format(
                    depth=format_fixed(float(depth), "m", decimals=3)
                ),
                _("The pitch runs from one lower edge to the next: add the gap to the depth"),
                of=_("rows of modules"),
            )


def shadow_strips(rows: ModuleRows, toward_sun: Floats) -> tuple[Floats, Floats]:
    """Where the rows' shadows begin and end on the ground; none overlaps the next.

    Parameters
    ----------
    rows : ModuleRows
    toward_sun : (times, 3)

    Returns
    -------
    two of (times, rows)
        y in m; both the same while the sun is down.
    """
    b = np.radians(rows.tilt_deg)
    up = toward_sun[:, 2] > LOWEST_SUN
    lean = np.where(up, toward_sun[:, 1], 0.0) / np.where(up, toward_sun[:, 2], 1.0)
    lower = -rows.height_m * lean
    upper = rows.slope_m * np.cos(b) - (rows.height_m + rows.slope_m * np.sin(b)) * lean
    feet = np.arange(rows.rows) * rows.pitch_m
    begin = np.minimum(lower, upper)[:, None] + feet
    end = np.maximum(lower, upper)[:, None] + feet
    end[:, :-1] = np.minimum(end[:, :-1], begin[:, 1:])
    return begin, np.where(up[:, None], end, begin)


def ground_edges(rows: ModuleRows, per_pitch: int = STRIPS_PER_PITCH) -> Floats:
    """Edges of strips of ground: even below the rows, ever wider before and behind them; (m,) in m."""
    size = rows.height_m + rows.slope_m
    first, last = -2.0 * size, (rows.rows - 1) * rows.pitch_m + 3.0 * size
    step = (min(rows.pitch_m, size) if rows.rows > 1 else size) / per_pitch
    even = np.linspace(first, last, int(np.ceil((last - first) / step)) + 1)
    outward = size * np.geomspace(0.05, 1e5, 120)
    return np.concatenate([first - outward[::-1], even, last + outward])


def ground_sky(rows: ModuleRows, y_m: ArrayLike) -> Floats:
    """What level ground sees of the sky between the rows.

    Parameters
    ----------
    rows : ModuleRows
    y_m : (m,)
        From row 1's lower edge, towards the back.

    Returns
    -------
    (m,)
        0 to 1.

    Raises
    ------
    SkyError
        If a place is out of range.
    """
    y = numbers(y_m, "y_m", least=-FAR_m, most=FAR_m)[:, None]
    b = np.radians(rows.tilt_deg)
    feet = np.arange(rows.rows) * rows.pitch_m - y
    low = feet / np.maximum(np.hypot(feet, rows.height_m), 1e-12)
    heads, top = feet + rows.slope_m * np.cos(b), rows.height_m + rows.slope_m * np.sin(b)
    high = heads / np.maximum(np.hypot(heads, top), 1e-12)
    begin, end = np.minimum(low, high), np.maximum(low, high)
    order = np.argsort(begin, axis=1)
    begin, end = np.take_along_axis(begin, order, axis=1), np.take_along_axis(end, order, axis=1)
    reached = np.maximum.accumulate(end, axis=1)
    reached = np.concatenate([np.full((len(y), 1), -1.0), reached[:, :-1]], axis=1)
    hidden = np.maximum(end - np.maximum(begin, reached), 0.0).sum(axis=1)
    seen: Floats = np.clip(1.0 - 0.5 * hidden, 0.0, 1.0)
    return seen


def back_sines(rows: ModuleRows, row: int, along: Floats, ends: Floats) -> Floats:
    """At which angles points of a back see ends.

    Parameters
    ----------
    along : (n,)
        The points, in m from the lower edge.
    ends : (m, 2)
        y and z in m.

    Returns
    -------
    (n, m)
        Sines of the angles from the back's normal, up the slope positive.
    """
    b = np.radians(rows.tilt_deg)
    foot = np.array([(row - 1) * rows.pitch_m, rows.height_m])
    up = np.array([np.cos(b), np.sin(b)])
    way = ends - (foot + along[:, None] * up)[:, None, :]
    sines: Floats = (way @ up) / np.maximum(np.hypot(way[..., 0], way[..., 1]), 1e-12)
    return sines


def ground_sines(rows: ModuleRows, row: int, along: Floats, y: Floats) -> Floats:
    """The same of places on the ground, y in m; what the back's own plane hides counts as at that plane."""
    b = np.radians(rows.tilt_deg)
    sines = back_sines(rows, row, along, np.stack([y, np.zeros_like(y)], axis=1))
    hidden = (y - (row - 1) * rows.pitch_m) * np.sin(b) + rows.height_m * np.cos(b) < 0.0
    return np.where(hidden, -1.0, sines)


def ground_bounds(rows: ModuleRows, row: int, along: Floats) -> tuple[Floats, Floats]:
    """From where to where points see ground, as sines from the back's normal; two of (n,)."""
    b = np.radians(rows.tilt_deg)
    far = np.full(len(along), np.cos(b))
    if row < rows.rows:  # under the lower edge of the row behind
        edge = np.array([[row * rows.pitch_m, rows.height_m]])
        far = np.minimum(far, back_sines(rows, row, along, edge)[:, 0])
    return np.full(len(along), -1.0), far


def sky_bound(rows: ModuleRows, row: int, along: Floats) -> Floats:
    """From where on points see sky, as sines from the back's normal; (n,)."""
    b = np.radians(rows.tilt_deg)
    bound = np.full(len(along), np.cos(b))  # the horizon
    if row < rows.rows:  # over the upper edge of the row behind
        top = np.array([row * rows.pitch_m, rows.height_m]) + rows.slope_m * np.array([np.cos(b), np.sin(b)])
        bound = np.maximum(bound, back_sines(rows, row, along, top[None, :])[:, 0])
    return bound
