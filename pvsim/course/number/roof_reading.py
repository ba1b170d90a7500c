"""What quantities of a mounted array read: its cables, and a day on it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from math import nan
from typing import TYPE_CHECKING

import numpy as np

from pvsim.array.place import Place
from pvsim.array.scenario import Scenario
from pvsim.circuit.floats import Floats
from pvsim.course.number.solved_scenario import Situation
from pvsim.reading.cables import StringCables, all_cables, string_cables

if TYPE_CHECKING:
    from pvsim.day import DayFilm

__all__ = ["DayReading", "STEP_min", "cables_read", "day_read", "noon_lost"]

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
    lost, lost_most : float
        Shares of what the open array gives: over the day, and at the hour when the share is greatest.
    off_noon_h : float
        How far that hour is from when the sun is highest.
    """

    open_kWh: float
    power_kWh: float
    followed_kWh: float
    lost: float
    lost_most: float
    off_noon_h: float


def day_read(field: str) -> Read:
    """Reads a field of `DayReading`; not a number where the scenario has no day."""

    def value(situation: Situation, _place: Place) -> float:
        if situation.scenario.day is None:
            return nan
        return float(getattr(_day(situation.scenario), field))

    return value


def noon_lost(situation: Situation, _place: Place) -> float:
    """Reads which share of the open array's power is lost when the sun is highest, from that hour alone."""
    return nan if situation.scenario.day is None else _noon_lost(situation.scenario)


@lru_cache(maxsize=32)
def _day(scenario: Scenario) -> DayReading:
    from pvsim.day.energy import energy_kWh

    film = _film(scenario)
    frames, open_W = tuple(film.frames()), _open_W(_bare(scenario))
    power_W = np.array([frame.power_W for frame in frames])
    share = 1.0 - power_W / np.maximum(open_W, 1e-9)
    # Sun that grazes the horizon gives hardly anything: shares of that tell nothing.
    share = np.where(open_W > 0.02 * open_W.max(), share, 0.0)
    most = int(np.argmax(share))
    followed_W = np.array([frame.followed_W for frame in frames])
    step_h = STEP_min / 60.0
    open_kWh, power_kWh, followed_kWh = (energy_kWh(one, step_h) for one in (open_W, power_W, followed_W))
    return DayReading(
        open_kWh=open_kWh,
        power_kWh=power_kWh,
        followed_kWh=followed_kWh,
        lost=1.0 - power_kWh / open_kWh,
        lost_most=float(share[most]),
        off_noon_h=abs(frames[most].hour - frames[_highest(film)].hour),
    )


@lru_cache(maxsize=32)
def _noon_lost(scenario: Scenario) -> float:
    film, clear = _film(scenario), _open_film(_bare(scenario))
    power_W, open_W = (one.frame(_highest(film)).power_W for one in (film, clear))
    return 1.0 - power_W / open_W if open_W > 1e-9 else 0.0  # a roof in the dark at noon loses nothing


def _highest(film: DayFilm) -> int:
    """The number of the hour when the sun is highest."""
    return int(np.argmin(film.light.sun.apparent_zenith_deg))


@lru_cache(maxsize=32)
def _film(scenario: Scenario) -> DayFilm:
    from pvsim.day import film_of  # with shapely: only lessons that have a day need it

    return film_of(scenario, step_min=STEP_min)


def _bare(scenario: Scenario) -> Scenario:
    """The same roof, sound, with nothing on its glass and nothing round it: one for many that are shaded."""
    assert scenario.day is not None
    light = replace(scenario.light, painted=(), shadows=())
    return replace(scenario, faults=(), light=light, day=replace(scenario.day, solids=()))


@lru_cache(maxsize=32)
def _open_film(bare: Scenario) -> DayFilm:
    """The day of a roof whose rows do not shade one another either."""
    from pvsim.day import film_of

    return film_of(bare, step_min=STEP_min, shadows=False)


@lru_cache(maxsize=32)
def _open_W(bare: Scenario) -> Floats:
    return np.array([frame.power_W for frame in _open_film(bare).frames()])
