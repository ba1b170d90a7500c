"""Light on the back of modules in rows that end: brighter where a row stops and its shadow with it.

All rows run from x = 0 to the same length; the cross-section is that of `module_rows.py`. Light that comes at
one angle in the cross-section, from r away in it, is spread over the displacement u along the row as
cos^2 of the angle out of the cross-section. Of it

    S(u / r) = 1/2 + (atan(u / r) + (u / r) / (1 + (u / r)^2)) / pi

comes from less than u: the view factor of a point to a rectangle is the one of two dimensions times a
difference of S, strip by strip (integrated here; the closed forms of textbooks are met in the tests). What
passes beside the end of one row passes beside all behind it.

Left out: what `rear_light.py` leaves out; shadows on ground that is seen beside the row behind; where
shadows of two rows lie on one another, the end of the one that is cut off.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pvsim.prompt import summary
from pvsim.sky.checks import number, whole
from pvsim.sky.clear_sky import SkyLight
from pvsim.sky.floats import ArrayLike, Floats
from pvsim.sky.module_rows import (
    LOWEST_SUN,
    ModuleRows,
    ground_bounds,
    ground_edges,
    ground_sines,
    ground_sky,
    shadow_strips,
    sky_bound,
)
from pvsim.sky.rear_light import RearLight, checked_sun, sum_up

MOST_ACROSS = 60
MOST_POINTS = 60
STRIPS_PER_PITCH = 16
ANGLES = 64  # over the sky, for what rows hide of it
SLICES = 12  # of a shadow, and of the row behind
# Edges of places along the row, as multiples of the modules' size from its ends.
_FROM_END = np.array([0.0, 0.1, 0.2, 0.35, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 4.5, 7.0, 12.0, 25.0])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FiniteRowView:
    """What points on the back of a row with two ends see.

    Parameters
    ----------
    rows : ModuleRows
    length_m : float
        Of each row.
    row : int
        Which of them, from 1 in front.
    across_m : (m,)
        The points' places along the row, from its left end as the fronts are seen.
    along_m : (n,)
        Their distances from the lower edge, along the modules.
    sky, ground, row_behind : (m, n)
        View factors; they sum to 1.
    sky_by_ground : (m, n)
        That of the ground, each place of it weighed with what it sees of the sky itself.
    """

    rows: ModuleRows
    length_m: float
    row: int
    across_m: Floats
    along_m: Floats
    sky: Floats
    ground: Floats
    row_behind: Floats
    sky_by_ground: Floats

    __repr__ = summary


def along_share(u_m: ArrayLike, r_m: ArrayLike) -> Floats:
    """Share of the light at one angle in the cross-section that comes from less than u along the row.

    Parameters
    ----------
    u_m : array
        Displacement, in m; may be infinite.
    r_m : array
        Distance in the cross-section, in m; more than 0.

    Returns
    -------
    array
        S of the formula at the top of this file: 0 to 1.
    """
    t = np.asarray(u_m, dtype=float) / np.asarray(r_m, dtype=float)
    finite = np.clip(t, -1e8, 1e8)
    share: Floats = 0.5 + (np.arctan(finite) + finite / (1.0 + finite**2)) / np.pi
    return share


def finite_row_view(
    rows: ModuleRows, length_m: float, *, row: int = 1, across: int = 6, points: int = 6
) -> FiniteRowView:
    """What the back of one row sees, place by place along it and up the slope.

    Parameters
    ----------
    rows : ModuleRows
    length_m : float
        Of each row, up to 1000 m.
    row : int
        From 1 in front.
    across, points : int
        How many along the row and up the slope, 1 to 60 each: the middles of equal fields.

    Returns
    -------
    FiniteRowView

    Raises
    ------
    SkyError
        If there is no such row, or a number is out of range.
    """
    length = number(length_m, "length_m", least=0.01, most=1000.0)
    row = whole(row, "row", least=1, most=rows.rows)
    count = whole(points, "points", least=1, most=MOST_POINTS)
    places = whole(across, "across", least=1, most=MOST_ACROSS)
    x = (np.arange(places) + 0.5) * length / places
    along = (np.arange(count) + 0.5) * rows.slope_m / count
    _near, far = ground_bounds(rows, row, along)
    horizon = np.full(count, np.cos(np.radians(rows.tilt_deg)))
    over = sky_bound(rows, row, along)
    below = _beside_row_behind(rows, length, x, far, horizon)
    above = _beside_row_behind(rows, length, x, horizon, over)
    sky = 0.5 * (1.0 - over) + above
    ground = 0.5 * (far + 1.0) + below
    return FiniteRowView(
        rows=rows,
        length_m=length,
        row=row,
        across_m=x,
        along_m=along,
        sky=sky,
        ground=ground,
        row_behind=np.maximum(1.0 - sky - ground, 0.0),
        sky_by_ground=_sky_by_ground(rows, length, row, x, along),
    )


def finite_row_light(
    view: FiniteRowView, toward_sun: ArrayLike, sky: SkyLight, *, ground_reflectance: float = 0.2
) -> RearLight:
    """What falls on the back of one row with two ends.

    Parameters
    ----------
    view : FiniteRowView
    toward_sun : (times, 3)
        From `sun_vectors`, with `facing_deg` where the modules' fronts face.
    sky : SkyLight
        Over open ground at the same times.
    ground_reflectance : float
        0 to 1.

    Returns
    -------
    RearLight
        Its arrays are (times, across, points).

    Raises
    ------
    SkyError
        If the reflectance is out of range or the times are not as many.

    Notes
    -----
    Formulas at the top of this file and of `rear_light.py`.
    """
    sun = checked_sun(toward_sun, sky)
    lit = np.maximum(view.ground - _shaded(view, sun), 0.0)
    return sum_up(sky, sun, ground_reflectance, lit=lit, view=view, cosine=_beam_cosine(view, sun))


def _beside_row_behind(rows: ModuleRows, length: float, x: Floats, low: Floats, high: Floats) -> Floats:
    """View factor between two angles of what is seen beside the ends of the row behind; (across, points)."""
    share = (np.arange(2 * SLICES) + 0.5) / (2 * SLICES)
    sine = low + share[:, None] * (high - low)
    cosine = np.sqrt(np.maximum(1.0 - sine**2, 1e-12))
    r = np.maximum(rows.pitch_m * np.sin(np.radians(rows.tilt_deg)), 1e-9) / cosine
    passing = 1.0 - _between(x[:, None, None], r, 0.0, length)
    beside: Floats = 0.5 * (high - low) * passing.mean(axis=1)
    return beside


def _between(x: Floats, r: Floats, start: ArrayLike, end: ArrayLike) -> Floats:
    """Share of the light at an angle that comes from between two places along the row."""
    between: Floats = along_share(np.asarray(end) - x, r) - along_share(np.asarray(start) - x, r)
    return between


def _sky_by_ground(rows: ModuleRows, length: float, row: int, x: Floats, along: Floats) -> Floats:
    b = np.radians(rows.tilt_deg)
    _near, far = ground_bounds(rows, row, along)
    edges = ground_edges(rows, STRIPS_PER_PITCH)
    middles = (edges[1:] + edges[:-1]) / 2.0
    sines = ground_sines(rows, row, along, edges)
    sines[:, 0], sines[:, -1] = -1.0, np.cos(b)  # the outermost strips run on without end
    free = 0.5 * np.diff(np.minimum(sines, far[:, None]), axis=1)
    beyond = 0.5 * np.diff(np.maximum(sines, far[:, None]), axis=1)
    y = (row - 1) * rows.pitch_m + along * np.cos(b)
    r = np.hypot(middles - y[:, None], rows.height_m + (along * np.sin(b))[:, None])
    # How far along its way a ray to the ground is when it passes the row behind.
    share = np.full_like(r, np.inf)
    if row < rows.rows:
        off = (middles - y[:, None]) * np.sin(b) + (rows.height_m + (along * np.sin(b))[:, None]) * np.cos(b)
        share = rows.pitch_m * np.sin(b) / np.maximum(off, 1e-9)
    u = _places_along(rows, length)
    at = (u[1:] + u[:-1]) / 2.0
    bright = _ground_sky(rows, length, middles, at)
    u[0], u[-1] = -np.inf, np.inf
    out = np.empty((len(x), len(along)))
    for k, place in enumerate(x.tolist()):
        spread = np.diff(along_share(u - place, r[..., None]), axis=-1) * bright
        crossing = place + (at - place) * np.minimum(share, 1.0)[..., None]
        beside = (crossing < 0.0) | (crossing > length)
        out[k] = (free * spread.sum(axis=-1) + beyond * (spread * beside).sum(axis=-1)).sum(axis=-1)
    return out


def _places_along(rows: ModuleRows, length: float) -> Floats:
    """Edges of places along the row and beyond its ends, close where light changes."""
    outward = _FROM_END * (rows.slope_m + rows.height_m)
    inward = outward[outward < length / 2.0]
    inside = [inward, [length / 2.0], (length - inward)[::-1]]
    return np.concatenate([-outward[:0:-1], *inside, length + outward[1:]])


def _ground_sky(rows: ModuleRows, length: float, y: Floats, x: Floats) -> Floats:
    """What places on the ground see of the sky: as between rows without end, and past their ends."""
    b = np.radians(rows.tilt_deg)
    sine = (np.arange(ANGLES) + 0.5) * 2.0 / ANGLES - 1.0
    cosine = np.sqrt(1.0 - sine**2)
    feet = np.arange(rows.rows) * rows.pitch_m - y[:, None]
    nearest = np.full((len(y), ANGLES), np.inf)
    across = sine * np.sin(b) - cosine * np.cos(b)
    across = np.where(np.abs(across) < 1e-9, 1e-9, across)
    for k in range(rows.rows):
        r = (feet[:, k, None] * np.sin(b) - rows.height_m * np.cos(b)) / across
        height = r * cosine
        level = (r * sine - feet[:, k, None]) * np.cos(b) + (height - rows.height_m) * np.sin(b)
        hit = (r > 0.0) & (level >= 0.0) & (level <= rows.slope_m)
        nearest = np.where(hit, np.minimum(nearest, np.maximum(r, 1e-6)), nearest)
    hidden = np.isfinite(nearest)
    past = [(hidden * (1.0 - _between(place, nearest, 0.0, length))).mean(axis=1) for place in x]
    seen: Floats = np.clip(ground_sky(rows, y)[:, None] + np.stack(past, axis=1), 0.0, 1.0)
    return seen


def _shaded(view: FiniteRowView, sun: Floats) -> Floats:
    """View factor of the shadows on the ground; (times, across, points)."""
    rows, along = view.rows, view.along_m
    b = np.radians(rows.tilt_deg)
    near, far = ground_bounds(rows, view.row, along)
    begin, end = shadow_strips(rows, sun)
    edges = begin[..., None] + (end - begin)[..., None] * np.linspace(0.0, 1.0, SLICES + 1)
    sines = ground_sines(rows, view.row, along, edges.ravel()).reshape(len(along), *edges.shape)
    factor = 0.5 * np.diff(np.clip(sines, near[:, None, None, None], far[:, None, None, None]), axis=-1)
    y = (edges[..., 1:] + edges[..., :-1]) / 2.0
    # Which height throws its shadow there, and how far to the side.
    up = np.where(sun[:, 2] > LOWEST_SUN, sun[:, 2], 1.0)[:, None, None]
    lean, aside = sun[:, 1, None, None] / up, sun[:, 0, None, None] / up
    run = np.cos(b) - np.sin(b) * lean
    run = np.where(np.abs(run) < 1e-9, 1e-9, run)
    foot = (np.arange(rows.rows) * rows.pitch_m)[:, None]
    slope = np.clip((y - foot + rows.height_m * lean) / run, 0.0, rows.slope_m)
    left = -(rows.height_m + slope * np.sin(b)) * aside
    from_y = (view.row - 1) * rows.pitch_m + along * np.cos(b)
    r = np.hypot(y - from_y[:, None, None, None], (rows.height_m + along * np.sin(b))[:, None, None, None])
    r = np.maximum(r, 1e-9)
    right = left + view.length_m
    shaded = [(factor * _between(x, r, left, right)).sum(axis=(2, 3)).T for x in view.across_m]
    return np.stack(shaded, axis=1)


def _beam_cosine(view: FiniteRowView, sun: Floats) -> Floats:
    """Cosine of the beam's incidence on the back, 0 where the row behind hides the sun."""
    rows = view.rows
    b = np.radians(rows.tilt_deg)
    cosine = np.where(sun[:, 2] > LOWEST_SUN, sun[:, 1] * np.sin(b) - sun[:, 2] * np.cos(b), 0.0)
    cosine = np.where(cosine > 1e-9, cosine, 0.0)[:, None, None]
    out = np.broadcast_to(cosine, (len(sun), len(view.across_m), len(view.along_m)))
    if view.row == rows.rows:
        return out
    way = rows.pitch_m * np.sin(b) / np.where(cosine > 0.0, cosine, 1.0)
    height = view.along_m * np.sin(b) + way * sun[:, 2, None, None]  # over the lower edge, at that row
    x = view.across_m[:, None] + way * sun[:, 0, None, None]
    hidden = (height <= rows.slope_m * np.sin(b)) & (x >= 0.0) & (x <= view.length_m)
    return np.where(hidden, 0.0, out)
