"""Light on a tilted plane: the beam by its incidence, the sky's and the ground's share.

The diffuse parts come alike from all of the sky and all of the ground (B. Y. H. Liu, R. C. Jordan, Solar
Energy 4 (1960) 1-19): with b the tilt and a the ground's reflectance

    G = G_bn cos(incidence) + G_dh (1 + cos b)/2 + a G_h (1 - cos b)/2

Left out: a sky that is brighter round the sun and at the horizon, reflection on the glass at slanting
incidence, and things that hide a part of the sky.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pvsim.prompt import summary
from pvsim.sky.checks import finite, number, numbers, points, refuse, same_length
from pvsim.sky.clear_sky import SkyLight
from pvsim.sky.floats import ArrayLike, Floats
from pvsim.sky.sun import Sun
from pvsim.words import _

FARTHEST_m = 1e4


@dataclass(frozen=True, slots=True, kw_only=True)
class Plane:
    """A plane that light falls on.

    Parameters
    ----------
    tilt_deg : float
        From the horizontal: 0 faces the sky, 90 stands upright, 180 faces the ground.
    azimuth_deg : float
        Where its front faces: from north clockwise, 180 is south. Of a horizontal plane, where its lower
        edge would be.
    origin_m : tuple of three floats
        Its upper left corner as its front is seen, in site coordinates (`plane_axes`).
    """

    tilt_deg: float
    azimuth_deg: float = 180.0
    origin_m: tuple[float, float, float] = (0.0, 0.0, 0.0)

    def __post_init__(self) -> None:
        finite(self, "tilt_deg", least=0.0, most=180.0)
        mend = _("Add or take away 360 until it is in that range")
        finite(self, "azimuth_deg", least=0.0, most=360.0, mend=mend)
        corner = points(self.origin_m, "origin_m", shape=(3,))
        if np.abs(corner).max() > FARTHEST_m:
            expected = _("coordinates from {least} to {most}").format(least=-10_000, most=10_000)
            refuse("origin_m", self.origin_m, expected, of="plane")
        object.__setattr__(self, "origin_m", tuple(corner.tolist()))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlaneLight:
    """What falls on a plane, by where it comes from.

    Parameters
    ----------
    beam_W_m2, sky_W_m2, ground_W_m2 : (n,)
        Straight from the sun, diffuse from the sky, reflected by the ground.
    total_W_m2 : (n,)
        Their sum.
    """

    beam_W_m2: Floats
    sky_W_m2: Floats
    ground_W_m2: Floats
    total_W_m2: Floats

    __repr__ = summary


def incidence_deg(plane: Plane, zenith_deg: ArrayLike, azimuth_deg: ArrayLike) -> Floats:
    """Angle between the sun's rays and the plane's normal.

    Parameters
    ----------
    plane : Plane
    zenith_deg, azimuth_deg : (n,) or float
        As in Sun.

    Returns
    -------
    (n,)
        0 to 180; above 90 the sun is behind the plane.

    Raises
    ------
    SkyError
        If an angle is out of range.

    Notes
    -----
    cos i = cos z cos b + sin z sin b cos(A - A_plane).
    """
    zenith = np.radians(numbers(zenith_deg, "zenith_deg", least=0.0, most=180.0))
    azimuth = np.radians(numbers(azimuth_deg, "azimuth_deg", least=-360.0, most=720.0))
    same_length({"zenith_deg": zenith, "azimuth_deg": azimuth})
    b, A = np.radians(plane.tilt_deg), np.radians(plane.azimuth_deg)
    cosine = np.cos(zenith) * np.cos(b) + np.sin(zenith) * np.sin(b) * np.cos(azimuth - A)
    angle: Floats = np.degrees(np.arccos(np.clip(cosine, -1.0, 1.0)))
    return angle


def plane_light(plane: Plane, sun: Sun, sky: SkyLight, *, ground_reflectance: float = 0.2) -> PlaneLight:
    """What falls on a plane's front.

    Parameters
    ----------
    plane : Plane
    sun : Sun
        n times.
    sky : SkyLight
        At the same times.
    ground_reflectance : float
        0 to 1; 0.2 is grass (common practice).

    Returns
    -------
    PlaneLight
        The back's is that of a plane with tilt 180 - tilt, facing the other way.

    Raises
    ------
    SkyError
        If the reflectance is out of range or the times are not as many.
    """
    reflectance = number(ground_reflectance, "ground_reflectance", least=0.0, most=1.0)
    same_length({"sun": sun.zenith_deg, "sky": sky.beam_normal_W_m2})
    incidence = np.radians(incidence_deg(plane, sun.apparent_zenith_deg, sun.azimuth_deg))
    lit = sun.apparent_zenith_deg < 90.0
    beam = np.where(lit, sky.beam_normal_W_m2 * np.maximum(np.cos(incidence), 0.0), 0.0)
    up = (1.0 + np.cos(np.radians(plane.tilt_deg))) / 2.0
    from_sky = sky.diffuse_horizontal_W_m2 * up
    from_ground = reflectance * sky.global_horizontal_W_m2 * (1.0 - up)
    return PlaneLight(
        beam_W_m2=beam, sky_W_m2=from_sky, ground_W_m2=from_ground, total_W_m2=beam + from_sky + from_ground
    )


def plane_axes(plane: Plane, *, facing_deg: float = 180.0) -> Floats:
    """The plane's own directions in site coordinates.

    Parameters
    ----------
    plane : Plane
    facing_deg : float
        The site coordinates' own direction, as in `sun_vectors`. Where it is the plane's azimuth, x runs
        along the plane's rows, y horizontally up its slope, z up.

    Returns
    -------
    (3, 3)
        Unit vectors as rows: to the right and down the slope as its front is seen, and its normal.
    """
    turned = np.radians(plane.azimuth_deg - number(facing_deg, "facing_deg", least=-360.0, most=720.0))
    b = np.radians(plane.tilt_deg)
    ahead = np.array([-np.sin(turned), -np.cos(turned), 0.0])
    right = np.array([np.cos(turned), -np.sin(turned), 0.0])
    down = np.cos(b) * ahead - np.array([0.0, 0.0, np.sin(b)])
    normal = np.sin(b) * ahead + np.array([0.0, 0.0, np.cos(b)])
    return np.stack([right, down, normal])
