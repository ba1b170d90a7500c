"""Where the sun stands.

The short formulas of the Astronomical Almanac, for 1950 to 2050, as J. J. Michalsky gives them (Solar
Energy 40 (1988) 227-235), with n days from noon of 1 January 2000 and angles in degrees:

    L = 280.460 + 0.9856474 n                       mean longitude
    g = 357.528 + 0.9856003 n                       mean anomaly
    l = L + 1.915 sin g + 0.020 sin 2g              ecliptic longitude
    e = 23.439 - 0.0000004 n                        obliquity
    tan RA = cos e tan l,  sin d = sin e sin l      right ascension, declination
    R = 1.00014 - 0.01671 cos g - 0.00014 cos 2g    distance in astronomical units
    GMST = 6.697375 + 0.0657098242 n + UT           sidereal time, in h

To them come the sun's parallax (8.794" at the horizon) and refraction (T. Saemundsson, Sky and Telescope 72
(1986) 70, with pressure and temperature as I. Reda and A. Andreas, Solar Energy 76 (2004) 577-589, have it):

    r = (p / 1010 hPa) (283 / (273 + T)) 1.02' / tan(h + 10.3 / (h + 5.11))

Left out: nutation, aberration beyond the mean one, the 64 to 70 s between UT and dynamical time: together
less than 0.01 degrees. All formulas from memory, checked against the example of Reda and Andreas.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

import numpy as np

from pvsim.prompt import summary
from pvsim.sky.checks import number, numbers
from pvsim.sky.floats import ArrayLike, Floats
from pvsim.sky.site import Site, day_number

SEMIDIAMETER_deg = 0.26667
REFRACTION_AT_HORIZON_deg = 0.5667  # both as in Reda and Andreas
RISING_deg = -(SEMIDIAMETER_deg + REFRACTION_AT_HORIZON_deg)  # true height of the centre, upper limb seen
PARALLAX_deg = 8.794 / 3600.0
SEA_LEVEL_hPa = 1013.25
_EPOCH = 2_451_545.0

Daylight = Literal["rises and sets", "never sets", "never rises"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sun:
    """The sun at some times of a day.

    Parameters
    ----------
    clock_h : (n,)
        In h from the site's midnight.
    zenith_deg : (n,)
        Angle of its centre from the zenith, without refraction.
    apparent_zenith_deg : (n,)
        The same as it is seen, through the air.
    azimuth_deg : (n,)
        From north clockwise, 0 to 360.
    distance_au : (n,)
        In astronomical units.
    """

    clock_h: Floats
    zenith_deg: Floats
    apparent_zenith_deg: Floats
    azimuth_deg: Floats
    distance_au: Floats

    __repr__ = summary


@dataclass(frozen=True, slots=True, kw_only=True)
class SunTimes:
    """The sun's turn on one day.

    Parameters
    ----------
    noon_h : float
        When it is on the meridian, in h from the site's midnight, 0 to 24.
    sunrise_h, sunset_h : float or None
        When its upper limb is at a flat horizon, within 12 h before and after noon; below 0 and above 24
        where the site's clock is far from the sun's. None where it does not come to pass.
    daylight : str
        "rises and sets", "never sets" or "never rises".
    """

    noon_h: float
    sunrise_h: float | None
    sunset_h: float | None
    daylight: Daylight


def sun_path(site: Site, day: date, clock_h: ArrayLike, *, air_temperature_C: float = 10.0) -> Sun:
    """Where the sun stands at some times of a day.

    Parameters
    ----------
    site : Site
    day : datetime.date
        By the site's clock.
    clock_h : (n,) or float
        Times by the site's clock, in h from midnight, -24 to 48.
    air_temperature_C : float
        For refraction; the pressure is that of the standard atmosphere at the site's height.

    Returns
    -------
    Sun
        Good to 0.02 degrees.

    Raises
    ------
    SkyError
        If the day is before 1950 or after 2050, or a time is out of range.

    Notes
    -----
    Formulas and sources stand at the top of this file.
    """
    hours = numbers(clock_h, "clock_h", least=-24.0, most=48.0)
    air_C = number(air_temperature_C, "air_temperature_C", least=-60.0, most=60.0)
    east, north, up, R = _toward_sun(site, day_number(day), hours)
    zenith = np.degrees(np.arctan2(np.hypot(east, north), up))
    zenith = zenith + PARALLAX_deg / R * np.sin(np.radians(zenith))
    apparent = zenith - refraction(90.0 - zenith, pressure_hPa=air_pressure(site.height_m), air_C=air_C)
    return Sun(
        clock_h=hours,
        zenith_deg=zenith,
        apparent_zenith_deg=apparent,
        azimuth_deg=np.degrees(np.arctan2(east, north)) % 360.0,
        distance_au=R,
    )


def sun_times(site: Site, day: date) -> SunTimes:
    """When the sun rises, stands on the meridian and sets.

    Returns
    -------
    SunTimes
        Good to a quarter of a minute in middle latitudes; where the sun grazes the horizon, less.

    Raises
    ------
    SkyError
        If the day is before 1950 or after 2050.

    Notes
    -----
    A flat horizon; the centre's true height is then -0.8333 degrees, as in Reda and Andreas (2004).
    """
    start = day_number(day)
    noon = 12.0
    for _again in range(3):  # the sun is off its mean path by less than a minute a day
        east, north, up, _R = _toward_sun(site, start, np.array([noon]))
        noon -= float(_hour_angle(site, east, north, up)[0]) / 15.0
    noon %= 24.0
    steps = np.linspace(0.0, 12.0, 145)
    before, after = _above(site, start, noon - steps), _above(site, start, noon + steps)
    sunrise = _first_sinking(site, start, noon, before, -1.0)
    sunset = _first_sinking(site, start, noon, after, 1.0)
    daylight: Daylight = "rises and sets"
    if sunrise is None and sunset is None:
        daylight = "never sets" if before[0] > 0.0 else "never rises"
    return SunTimes(noon_h=noon, sunrise_h=sunrise, sunset_h=sunset, daylight=daylight)


def sun_vectors(zenith_deg: ArrayLike, azimuth_deg: ArrayLike, *, facing_deg: float = 180.0) -> Floats:
    """Unit vectors towards the sun in site coordinates.

    Parameters
    ----------
    zenith_deg, azimuth_deg : (n,) or float
        As in Sun; the apparent zenith for light.
    facing_deg : float
        The site coordinates' own direction. Who looks at something that faces there has x to the right, y
        away from them, z up; facing south (180) x is east and y is north.

    Returns
    -------
    (n, 3)

    Raises
    ------
    SkyError
        If an angle is out of range.
    """
    zenith = np.radians(numbers(zenith_deg, "zenith_deg", least=0.0, most=180.0))
    azimuth = np.radians(numbers(azimuth_deg, "azimuth_deg", least=-360.0, most=720.0))
    turned = azimuth - np.radians(number(facing_deg, "facing_deg", least=-360.0, most=720.0))
    across, height = np.sin(zenith), np.cos(zenith)
    return np.stack(np.broadcast_arrays(-across * np.sin(turned), -across * np.cos(turned), height), axis=-1)


def refraction(height_deg: ArrayLike, *, pressure_hPa: float = SEA_LEVEL_hPa, air_C: float = 10.0) -> Floats:
    """How much higher the sun is seen than it stands.

    Parameters
    ----------
    height_deg : (n,) or float
        True height above the horizon, -90 to 90.

    Returns
    -------
    (n,)
        In degrees; 0 while all of the sun is below the horizon.
    """
    h = numbers(height_deg, "height_deg", least=-90.1, most=90.1)
    seen = h >= RISING_deg
    safe = np.where(seen, h, 45.0)
    minutes = 1.02 / np.tan(np.radians(safe + 10.3 / (safe + 5.11)))
    factor = pressure_hPa / 1010.0 * 283.0 / (273.0 + air_C)
    return np.where(seen, np.maximum(factor * minutes / 60.0, 0.0), 0.0)


def air_pressure(height_m: float) -> float:
    """Pressure of the standard atmosphere at a height, in hPa (ISO 2533; its two constants from memory)."""
    return float(SEA_LEVEL_hPa * (1.0 - 2.25577e-5 * height_m) ** 5.25588)


def _toward_sun(site: Site, start: float, hours: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """East, north and up of the unit vector towards the sun from the Earth's centre, and its distance."""
    universal = hours - site.utc_offset_h
    n = start - _EPOCH + universal / 24.0
    L = 280.460 + 0.9856474 * n
    g = np.radians((357.528 + 0.9856003 * n) % 360.0)
    l = np.radians((L + 1.915 * np.sin(g) + 0.020 * np.sin(2.0 * g)) % 360.0)
    e = np.radians(23.439 - 0.0000004 * n)
    RA = np.arctan2(np.cos(e) * np.sin(l), np.cos(l))
    sin_d = np.sin(e) * np.sin(l)
    cos_d = np.sqrt(1.0 - sin_d**2)
    sidereal = 6.697375 + 0.0657098242 * n + universal
    H = np.radians((15.0 * sidereal + site.longitude_deg) % 360.0) - RA
    f = np.radians(site.latitude_deg)
    east = -cos_d * np.sin(H)
    north = sin_d * np.cos(f) - cos_d * np.cos(H) * np.sin(f)
    up = sin_d * np.sin(f) + cos_d * np.cos(H) * np.cos(f)
    R = 1.00014 - 0.01671 * np.cos(g) - 0.00014 * np.cos(2.0 * g)
    return east, north, up, R


def _hour_angle(site: Site, east: Floats, north: Floats, up: Floats) -> Floats:
    """How far the sun is west of the meridian, in degrees, -180 to 180."""
    f = np.radians(site.latitude_deg)
    angle: Floats = np.degrees(np.arctan2(-east, up * np.cos(f) - north * np.sin(f)))
    return angle


def _above(site: Site, start: float, hours: Floats) -> Floats:
    """How far the sun is above where it rises, in degrees."""
    up, R = _toward_sun(site, start, hours)[2:]
    height = np.degrees(np.arcsin(np.clip(up, -1.0, 1.0)))
    above: Floats = height - PARALLAX_deg / R * np.cos(np.radians(height)) - RISING_deg
    return above


def _first_sinking(site: Site, start: float, noon: float, above: Floats, sense: float) -> float | None:
    """The hour at which the sun, followed away from noon, first goes below its rising height."""
    sinking = np.flatnonzero((above[:-1] > 0.0) & (above[1:] <= 0.0))
    if len(sinking) == 0:
        return None
    step = 12.0 / (len(above) - 1)
    first = noon + sense * step * float(sinking[0])
    fine = first + sense * np.linspace(0.0, 1.01 * step, 31)  # 10 s apart, where the path is straight
    heights = _above(site, start, fine)
    k = int(np.flatnonzero(heights <= 0.0)[0])
    share = heights[k - 1] / (heights[k - 1] - heights[k])
    return float(fine[k - 1] + share * (fine[k] - fine[k - 1]))
