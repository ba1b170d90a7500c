"""Light under a clear sky, by a simple named model.

The beam after A. B. and M. P. Meinel (Applied Solar Energy, 1976), with E. G. Laue's term for the height
above the sea (Solar Energy 13 (1970) 43-57), and the air mass of F. Kasten and A. T. Young (Applied Optics
28 (1989) 4735-4738):

    AM = 1 / (cos z + 0.50572 (96.07995 - z)^-1.6364)
    G_bn = 1353 W/m2 ((1 - a h) 0.7^(AM^0.678) + a h),  a = 0.14 per km

The sky adds a tenth of the beam to what a surface facing the sun gets, as teaching texts have it; here
that tenth falls on the horizontal. All from memory. The sun's changing distance is laid over it.

Left out: dust, haze and water vapour of the day and the place, and all clouds. High above the sea Laue's
line is meant for a few km.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pvsim.prompt import summary
from pvsim.sky.checks import number, numbers
from pvsim.sky.floats import ArrayLike, Floats
from pvsim.sky.sun import Sun

ABOVE_THE_AIR_W_m2 = 1353.0  # the solar constant of the model's time, to which its 0.7 was fitted
HEIGHT_TERM_per_km = 0.14
DIFFUSE_TO_BEAM = 0.1


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SkyLight:
    """Light of sun and sky over open ground.

    Parameters
    ----------
    beam_normal_W_m2 : (n,)
        Straight from the sun, on a surface that faces it.
    diffuse_horizontal_W_m2 : (n,)
        From the rest of the sky, on the horizontal.
    global_horizontal_W_m2 : (n,)
        Both, on the horizontal.
    """

    beam_normal_W_m2: Floats
    diffuse_horizontal_W_m2: Floats
    global_horizontal_W_m2: Floats

    __repr__ = summary


def clear_sky(sun: Sun, *, height_m: float = 0.0) -> SkyLight:
    """Light under a clear sky.

    Parameters
    ----------
    sun : Sun
        At n times.
    height_m : float
        Above the sea; below it counts as at the sea.

    Returns
    -------
    SkyLight
        All 0 while the sun's centre is seen below the horizon.

    Raises
    ------
    SkyError
        If the height is out of range.

    Notes
    -----
    Formulas and sources stand at the top of this file.
    """
    height_km = max(number(height_m, "height_m", least=-450.0, most=6000.0), 0.0) / 1000.0
    up = sun.apparent_zenith_deg < 90.0
    AM = air_mass(np.where(up, sun.apparent_zenith_deg, 0.0))
    high = HEIGHT_TERM_per_km * height_km
    beam = ABOVE_THE_AIR_W_m2 / sun.distance_au**2 * ((1.0 - high) * 0.7 ** (AM**0.678) + high)
    beam = np.where(up, beam, 0.0)
    diffuse = DIFFUSE_TO_BEAM * beam
    level = beam * np.cos(np.radians(sun.apparent_zenith_deg)) + diffuse
    return SkyLight(
        beam_normal_W_m2=beam,
        diffuse_horizontal_W_m2=diffuse,
        global_horizontal_W_m2=np.where(up, level, 0.0),
    )


def air_mass(apparent_zenith_deg: ArrayLike) -> Floats:
    """How much air the beam passes, as a multiple of that straight up.

    Parameters
    ----------
    apparent_zenith_deg : (n,) or float
        0 to 90.

    Returns
    -------
    (n,)
        At the pressure of the sea's level.

    Raises
    ------
    SkyError
        If an angle is out of range.

    Notes
    -----
    F. Kasten, A. T. Young, Applied Optics 28 (1989) 4735; formula from memory.
    """
    z = numbers(apparent_zenith_deg, "apparent_zenith_deg", least=0.0, most=90.0)
    mass: Floats = 1.0 / (np.cos(np.radians(z)) + 0.50572 * (96.07995 - z) ** -1.6364)
    return mass
