"""What quantities of a mounted array read: its cables, and a day on it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from math import nan

import numpy as np

from pvsim.array.place import Place
from pvsim.array.scenario import Scenario
from pvsim.course.number.solved_scenario import Situation
from pvsim.reading.cables import StringCables, all_cables, string_cables

__all__ = ["DayReading", "STEP_min", "cables_read", "day_read"]

STEP_min = 60.0  # of a lesson's day; steps of 5 minutes change its energies by less than 1 in 200

Read = Callable[[Situation, Place], float]


def cables_read(field: str) -> Read:
    """Reads a field of `StringCables`, of one string or of all; not a number where nothing is mounted."""

    def value(situation: Situation, place: Place) -> float:
        strings = string_cables(situation.solution)
        if not strings:
            return nan
        found: StringCables = all_cables(strings) if place.string is None else strings[place.string - 1]
        return float(getattr(found, field))

    return value


@dataclass(frozen=True, slots=True, kw_only=True)
class DayReading:
    """A day in a few numbers.

    Parameters
    ----------
    open_kWh, power_kWh, followed_kWh : float
        Without anything that throws a shadow and without faults; as the array is; as it is, with trackers
        that follow the nearest peak.
    lost, lost_at_noon, lost_most : float
        Shares of what the open array gives: over the day, at the hour when the sun is highest, and at the
        hour when the share is greatest.
    off_noon_h : float
        How far that hour is from when the sun is highest.
    """

    open_kWh: float
    power_kWh: float
    followed_kWh: float
    lost: float
    lost_at_noon: float
    lost_most: float
    off_noon_h: float


def day_read(field: str) -> Read:
    """Reads a field of `DayReading`; not a number where the scenario has no day."""

    def value(situation: Situation, _place: Place) -> float:
        if situation.scenario.day is None:
            return nan
        return float(getattr(_day(situation.scenario), field))

    return value


@lru_cache(maxsize=32)
def _day(scenario: Scenario) -> DayReading:
    from pvsim.day import day_films, play  # with shapely: only lessons that have a day need it

    films = day_films(scenario, step_min=STEP_min)
    day = play(films)
    highest = int(np.argmin(films.power.light.sun.apparent_zenith_deg))
    share = 1.0 - day.power_W / np.maximum(day.open_W, 1e-9)
    # Sun that grazes the horizon gives hardly anything: shares of that tell nothing.
    share = np.where(day.open_W > 0.02 * day.open_W.max(), share, 0.0)
    most = int(np.argmax(share))
    return DayReading(
        open_kWh=day.open_kWh,
        power_kWh=day.power_kWh,
        followed_kWh=day.followed_kWh,
        lost=1.0 - day.power_kWh / day.open_kWh,
        lost_at_noon=float(share[highest]),
        lost_most=float(share[most]),
        off_noon_h=abs(float(day.hour[most] - day.hour[highest])),
    )
