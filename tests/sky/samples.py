"""Sites and days that several tests of the sky use; all but the published example's are invented."""

from __future__ import annotations

from datetime import date

import numpy as np

from pvsim.sky import Site, SkyLight, Sun, clock_hours, sun_path

HARBOUR = Site(latitude_deg=54.3, longitude_deg=10.2, utc_offset_h=1.0, title="an invented harbour town")
SOUTH = Site(latitude_deg=-33.0, longitude_deg=18.0, utc_offset_h=2.0, title="an invented southern site")
MIDSUMMER, MIDWINTER, SPRING = date(2026, 6, 21), date(2026, 12, 21), date(2026, 3, 20)

# The example of I. Reda and A. Andreas, Solar Energy 76 (2004) 577-589.
GOLDEN = Site(latitude_deg=39.742476, longitude_deg=-105.1786, height_m=1830.14, utc_offset_h=-7.0)
GOLDEN_DAY = date(2003, 10, 17)


def whole_day(site: Site = HARBOUR, day: date = MIDSUMMER, step_min: float = 5.0) -> Sun:
    return sun_path(site, day, clock_hours(step_min))


def sky_light(beam: float, diffuse: float, level: float) -> SkyLight:
    return SkyLight(
        beam_normal_W_m2=np.array([beam]),
        diffuse_horizontal_W_m2=np.array([diffuse]),
        global_horizontal_W_m2=np.array([level]),
    )
