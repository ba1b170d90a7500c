"""True shadows: solid things projected along the sun's rays onto a tilted plane.

A thing counts as far as it stands in front of the plane. A point of it at the distance d over the plane
falls, with s towards the sun and n the plane's normal, on

    p - s d / (s . n)

and the shadow of a convex thing is the convex hull of the shadows of its corners. A point of the plane
is in it where the way to the sun meets the thing.

Left out: the sun's width, which blurs an edge by a hundredth of its distance from what throws it. Where
the rays come along the plane, within 0.06 degrees, or from behind it, there are no shadows: no beam
falls on it.
"""

from __future__ import annotations

import numpy as np

from pvsim.sky.checks import refuse
from pvsim.sky.floats import ArrayLike, Floats
from pvsim.sky.plane import Plane, plane_axes
from pvsim.sky.solid import Solid, solid_corners
from pvsim.words import _

GRAZING = 1e-3  # sine of the angle between rays and plane
NO_SHADOW = np.zeros((0, 2))
NO_SHADOW.setflags(write=False)
_TOUCHING_m = 1e-9


def shadow_polygons(
    solid: Solid, plane: Plane, toward_sun: ArrayLike, *, facing_deg: float = 180.0
) -> tuple[Floats, ...]:
    """The shadow of one solid thing on a plane, at many times.

    Parameters
    ----------
    solid : Pole, Box, Parapet or TiltedRectangle
        In site coordinates.
    plane : Plane
        Without bounds; its `origin_m` in site coordinates.
    toward_sun : (times, 3)
        Unit vectors in site coordinates, from `sun_vectors`.
    facing_deg : float
        The site coordinates' own direction, as it was given to `sun_vectors`.

    Returns
    -------
    tuple of (corners, 2)
        One polygon a time, convex, in the plane's own coordinates: m from its origin, x to the right, y
        down the slope as its front is seen. (0, 2) where there is no shadow: the sun down or behind the
        plane, or the thing wholly behind it.

    Raises
    ------
    SkyError
        If the vectors are not of that shape or not of length 1.
    """
    sun = np.atleast_2d(np.asarray(toward_sun, dtype=float))
    if sun.ndim != 2 or sun.shape[1] != 3 or not np.allclose(np.linalg.norm(sun, axis=1), 1.0, atol=1e-6):
        refuse(
            "toward_sun",
            np.shape(toward_sun),
            _("an array of (times, 3), each row of length 1"),
            _("sun_vectors makes one from zenith and azimuth"),
        )
    axes = plane_axes(plane, facing_deg=facing_deg)
    cloud = _in_front(solid, plane, axes)
    beside = sun @ axes.T  # of each ray: to the right, down the slope, off the plane
    shining = (beside[:, 2] > GRAZING) & (sun[:, 2] > 0.0)
    if cloud is None or not shining.any():
        return (NO_SHADOW,) * len(sun)
    lean = beside[shining, :2] / beside[shining, 2:]
    fallen = cloud[None, :, :2] - cloud[None, :, 2:] * lean[:, None, :]
    order = np.lexsort((fallen[..., 1], fallen[..., 0]), axis=1)
    hulls = iter(np.take_along_axis(fallen, order[..., None], axis=1).tolist())
    return tuple(_hull(next(hulls)) if shines else NO_SHADOW for shines in shining.tolist())


def _in_front(solid: Solid, plane: Plane, axes: Floats) -> Floats | None:
    """The corners of what of a thing is in front of the plane: right, down, off it; None if nothing is."""
    corners, edges = solid_corners(solid)
    corners = (corners - np.array(plane.origin_m)) @ axes.T
    d = corners[:, 2]
    if d.max() <= _TOUCHING_m:
        return None
    a, b = edges.T
    cut = (d[a] > 0.0) != (d[b] > 0.0)
    a, b = a[cut], b[cut]
    share = (d[a] / (d[a] - d[b]))[:, None]
    feet = corners[a] + share * (corners[b] - corners[a])
    feet[:, 2] = 0.0
    return np.concatenate([corners[d > 0.0], feet])


def _hull(points: list[list[float]]) -> Floats:
    """The convex hull of sorted points; without area, none.

    A. M. Andrew, Information Processing Letters 9 (1979) 216-219: lower and upper chain.
    """
    chains = []
    for ordered in (points, points[::-1]):
        chain: list[list[float]] = []
        for x, y in ordered:
            while len(chain) > 1:
                (x0, y0), (x1, y1) = chain[-2], chain[-1]
                if (x1 - x0) * (y - y0) - (y1 - y0) * (x - x0) > 1e-12:
                    break
                chain.pop()
            chain.append([x, y])
        chains.append(chain[:-1])
    hull = chains[0] + chains[1]
    return np.array(hull) if len(hull) > 2 else NO_SHADOW
