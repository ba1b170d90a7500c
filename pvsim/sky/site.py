"""A site: where on Earth, how high, and what its clocks show.

Clocks keep one offset from UTC all the year: no names of time zones, no summer time. Hours of the clock
are numbers from 0 to 24, so that a day is one array.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time

import numpy as np

from pvsim.sky.checks import finite, number, refuse, title
from pvsim.sky.floats import Floats
from pvsim.words import _

FIRST_YEAR, LAST_YEAR = 1950, 2050  # for which the Astronomical Almanac gives its short formulas


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """A place under the sky.

    Parameters
    ----------
    latitude_deg : float
        From -90 at the South Pole to 90 at the North Pole.
    longitude_deg : float
        From -180 to 180, east of Greenwich positive.
    height_m : float
        Above the sea.
    utc_offset_h : float
        What the site's clock is ahead of UTC, all the year: 1 in central Europe, -7 in the Rocky Mountains.
    title : str
        For people.
    """

    latitude_deg: float
    longitude_deg: float
    height_m: float = 0.0
    utc_offset_h: float = 0.0
    title: str = ""

    def __post_init__(self) -> None:
        finite(self, "latitude_deg", least=-90.0, most=90.0, mend=_beyond_the_pole)
        finite(self, "longitude_deg", least=-180.0, most=180.0, mend=_more_than_half_round)
        finite(self, "height_m", least=-450.0, most=6000.0)  # the Dead Sea; higher than any town
        finite(self, "utc_offset_h", least=-12.0, most=14.0)
        title(self, "title")


def _beyond_the_pole() -> str:
    return _("North is positive, south negative; perhaps latitude and longitude are exchanged")


def _more_than_half_round() -> str:
    turn = _("East is positive, west negative: {east} degrees east are {west} degrees west")
    return turn.format(east=200, west=160)


def clock_hours(step_min: float = 5.0) -> Floats:
    """The hours of a day in equal steps.

    Parameters
    ----------
    step_min : float
        From 0.1 to 720 minutes.

    Returns
    -------
    (n,)
        In h from midnight, the first 0, the last before 24.

    Raises
    ------
    SkyError
        If the step is out of its range.
    """
    step_min = number(step_min, "step_min", least=0.1, most=720.0)
    count = int(np.ceil(1440.0 / step_min - 1e-9))
    return np.arange(count, dtype=np.float64) * (step_min / 60.0)


def hour_of(clock: time) -> float:
    """A time of the clock in h from midnight.

    Raises
    ------
    SkyError
        If it is no time, or has a time zone of its own.
    """
    if not isinstance(clock, time) or clock.tzinfo is not None:
        refuse(
            "clock",
            clock,
            _("a datetime.time without a time zone"),
            _("The site's utc_offset_h says what its clock shows"),
        )
    return clock.hour + clock.minute / 60.0 + (clock.second + clock.microsecond * 1e-6) / 3600.0


def clock_of(hour: float) -> time:
    """Hours from midnight as a time of the clock, to the second; beyond a day it starts anew.

    Raises
    ------
    SkyError
        If the hours are not a finite number from -24 to 48.
    """
    seconds = round(number(hour, "hour", least=-24.0, most=48.0) * 3600.0) % 86_400
    return time(seconds // 3600, seconds // 60 % 60, seconds % 60)


def day_number(day: date) -> float:
    """The Julian date of 0 h UT of a day.

    Raises
    ------
    SkyError
        If it is no date, or in a year for which the sun's formulas are not meant.
    """
    if not isinstance(day, date) or isinstance(day, datetime):
        refuse("day", day, _("a datetime.date"), _("Of a datetime, give the date and the time one by one"))
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        span = _("a day from {first} to {last}").format(first=FIRST_YEAR, last=LAST_YEAR)
        mend = _("The sun's path hardly changes from year to year: take one of these")
        refuse("day", day.isoformat(), span, mend)
    return day.toordinal() + 1_721_424.5  # Python's day 1 is 1 January of the year 1
