"""Light on the back of modules in rows, seen from the end of the rows.

Rows stand in parallel on level ground, all alike, number 1 in front (`module_rows.py`). What a point of the
back sees is cut into ground, sky and the row behind by the angles at which their ends are seen, and

    G_rear = G_dh (F_sky + a sum_k F_k V_k) + G_bh a F_lit + G_bn cos(incidence on the back)

with a the ground's reflectance, F_k the view factor of a strip of ground and V_k what that strip sees of the
sky between the rows, F_lit that of the ground outside the rows' shadows, and the beam itself where the sun is
behind. Strips of ground are weighed exactly (`view_factor.py` has the same in general); V_k is that of
their middle.

Left out: light that the row behind, the backs or the supports reflect, light through gaps between modules and
cells, a sky that is not alike everywhere. Rows are without end here; `finite_row.py` has their ends.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from pvsim.prompt import summary
from pvsim.sky.checks import number, numbers, refuse, same_length, whole
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
from pvsim.words import _

MOST_POINTS = 400


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RearView:
    """What points on the back of a row see; shares of all that light can come from.

    Parameters
    ----------
    rows : ModuleRows
    row : int
        Which of them, from 1 in front.
    along_m : (n,)
        The points' distances from the lower edge, along the modules: the middles of n equal strips.
    sky, ground, row_behind : (n,)
        View factors; they sum to 1.
    sky_by_ground : (n,)
        That of the ground, each of its strips weighed with what it sees of the sky itself.
    """

    rows: ModuleRows
    row: int
    along_m: Floats
    sky: Floats
    ground: Floats
    row_behind: Floats
    sky_by_ground: Floats

    __repr__ = summary


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RearLight:
    """What falls on points of the back, by where it comes from.

    Parameters
    ----------
    beam_W_m2, sky_W_m2, ground_W_m2 : (times, n), of a finite row (times, across, n)
        Straight from the sun, diffuse from the sky, reflected by the ground.
    total_W_m2 : the same
        Their sum.
    """

    beam_W_m2: Floats
    sky_W_m2: Floats
    ground_W_m2: Floats
    total_W_m2: Floats

    __repr__ = summary


def rear_view(rows: ModuleRows, *, row: int = 1, points: int = 12) -> RearView:
    """What the back of one row sees.

    Parameters
    ----------
    rows : ModuleRows
    row : int
        From 1 in front.
    points : int
        How many, 1 to 400.

    Returns
    -------
    RearView

    Raises
    ------
    SkyError
        If there is no such row, or the number of points is out of range.
    """
    row = whole(row, "row", least=1, most=rows.rows)
    count = whole(points, "points", least=1, most=MOST_POINTS)
    along = (np.arange(count) + 0.5) * rows.slope_m / count
    near, far = ground_bounds(rows, row, along)
    edges = ground_edges(rows)
    middles = (edges[1:] + edges[:-1]) / 2.0
    sines = ground_sines(rows, row, along, edges)
    sines[:, 0], sines[:, -1] = -1.0, np.cos(np.radians(rows.tilt_deg))  # the outermost have no end
    strips = 0.5 * np.diff(np.clip(sines, near[:, None], far[:, None]), axis=1)
    ground = 0.5 * (far - near)
    sky = 0.5 * (1.0 - sky_bound(rows, row, along))
    return RearView(
        rows=rows,
        row=row,
        along_m=along,
        sky=sky,
        ground=ground,
        row_behind=np.maximum(1.0 - sky - ground, 0.0),
        sky_by_ground=strips @ ground_sky(rows, middles),
    )


def rear_light(
    view: RearView, toward_sun: ArrayLike, sky: SkyLight, *, ground_reflectance: float = 0.2
) -> RearLight:
    """What falls on the back of one row.

    Parameters
    ----------
    view : RearView
    toward_sun : (times, 3)
        From `sun_vectors`, with `facing_deg` where the modules' fronts face.
    sky : SkyLight
        Over open ground at the same times.
    ground_reflectance : float
        0 to 1.

    Returns
    -------
    RearLight

    Raises
    ------
    SkyError
        If the reflectance is out of range or the times are not as many.

    Notes
    -----
    Formula at the top of this file. View factors of strips: crossed strings (H. C. Hottel).
    """
    sun = checked_sun(toward_sun, sky)
    lit = view.ground - _shaded(view, sun)
    return sum_up(sky, sun, ground_reflectance, lit=lit, view=view, cosine=_beam_cosine(view, sun))


def checked_sun(toward_sun: ArrayLike, sky: SkyLight) -> Floats:
    """The vectors towards the sun as an array; refused when they are none, or not as many as the sky has."""
    sun = np.asarray(toward_sun, dtype=float)
    if sun.ndim != 2 or sun.shape[1] != 3 or not np.isfinite(sun).all():
        refuse("toward_sun", np.shape(toward_sun), _("an array of (times, 3) finite numbers"))
    same_length({"toward_sun": sun, "sky": sky.beam_normal_W_m2})
    return sun


class Sees(Protocol):
    """What `sum_up` asks of a view."""

    @property
    def sky(self) -> Floats: ...
    @property
    def sky_by_ground(self) -> Floats: ...


def sum_up(
    sky: SkyLight, sun: Floats, ground_reflectance: float, *, lit: Floats, view: Sees, cosine: Floats
) -> RearLight:
    """The light that comes by each way, from view factors.

    Parameters
    ----------
    lit : (times, ...)
        View factor of the ground on which the sun shines.
    view : RearView or another
        Whose `sky` and `sky_by_ground` are (...).
    cosine : (times, ...)
        Of the beam's incidence, 0 where something hides the sun.
    """
    a = number(ground_reflectance, "ground_reflectance", least=0.0, most=1.0)
    each = (-1, *[1] * (lit.ndim - 1))  # times first, whatever the points' own axes are
    level_beam = (sky.beam_normal_W_m2 * np.where(sun[:, 2] > LOWEST_SUN, sun[:, 2], 0.0)).reshape(each)
    diffuse = sky.diffuse_horizontal_W_m2.reshape(each)
    ground = a * (diffuse * view.sky_by_ground + level_beam * lit)
    from_sky = diffuse * view.sky
    beam = sky.beam_normal_W_m2.reshape(each) * cosine
    return RearLight(
        beam_W_m2=beam, sky_W_m2=from_sky, ground_W_m2=ground, total_W_m2=beam + from_sky + ground
    )


def equivalent_irradiance(front_W_m2: ArrayLike, rear_W_m2: ArrayLike, bifaciality: float) -> Floats:
    """The irradiance on the front alone that does as much as both sides' light.

    Parameters
    ----------
    front_W_m2, rear_W_m2 : (n,) or float
    bifaciality : float
        As of `least_bifaciality`.

    Returns
    -------
    (n,)
        In W/m2.

    Raises
    ------
    SkyError
        If a number is out of range or there are not as many.

    Notes
    -----
    G_E = G_front + phi G_rear, IEC TS 60904-1-2 (from memory).
    """
    front = numbers(front_W_m2, "front_W_m2", least=0.0, most=2000.0)
    rear = numbers(rear_W_m2, "rear_W_m2", least=0.0, most=2000.0)
    same_length({"front_W_m2": front, "rear_W_m2": rear})
    return front + number(bifaciality, "bifaciality", least=0.0, most=1.0) * rear


def least_bifaciality(isc_bifaciality: float, pmax_bifaciality: float) -> float:
    """The bifaciality that counts: the smaller of those of short-circuit current and of maximum power.

    Raises
    ------
    SkyError
        If one is not from 0 to 1.

    Notes
    -----
    phi = min(phi_Isc, phi_Pmax), IEC TS 60904-1-2 (from memory).
    """
    return min(
        number(isc_bifaciality, "isc_bifaciality", least=0.0, most=1.0),
        number(pmax_bifaciality, "pmax_bifaciality", least=0.0, most=1.0),
    )


def _shaded(view: RearView, sun: Floats) -> Floats:
    """View factor of the shadows on the ground; (times, points)."""
    near, far = ground_bounds(view.rows, view.row, view.along_m)

    def sine(y: Floats) -> Floats:
        found = ground_sines(view.rows, view.row, view.along_m, y.ravel()).reshape(len(near), *y.shape)
        clipped: Floats = np.clip(found, near[:, None, None], far[:, None, None])
        return clipped

    begin, end = shadow_strips(view.rows, sun)
    shaded: Floats = 0.5 * (sine(end) - sine(begin)).sum(axis=2).T
    return shaded


def _beam_cosine(view: RearView, sun: Floats) -> Floats:
    """Cosine of the beam's incidence on the back, 0 where the row behind hides the sun; (times, points)."""
    rows = view.rows
    b = np.radians(rows.tilt_deg)
    up = sun[:, 2] > LOWEST_SUN
    cosine = np.where(up, sun[:, 1] * np.sin(b) - sun[:, 2] * np.cos(b), 0.0)
    cosine = np.where(cosine > 1e-9, cosine, 0.0)
    out = np.repeat(cosine[:, None], len(view.along_m), axis=1)
    if view.row < rows.rows:
        way = rows.pitch_m * np.sin(b) / np.where(cosine > 0.0, cosine, 1.0)
        height = view.along_m * np.sin(b) + (way * sun[:, 2])[:, None]  # over the lower edge, at that row
        out[(height <= rows.slope_m * np.sin(b)) & (cosine > 0.0)[:, None]] = 0.0
    return out
