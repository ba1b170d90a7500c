"""The energy of a day, and what shadow, faults and a tracker on the wrong peak cost of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from pvsim.array.scenario import Scenario
from pvsim.circuit.floats import Floats
from pvsim.day.day_light import STEP_min
from pvsim.day.film import DayFrame, film_of
from pvsim.prompt import summary

__all__ = ["DayEnergy", "day_energy"]

Heard = Callable[[str, DayFrame], None]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DayEnergy:
    """Power against time, and its energy.

    Parameters
    ----------
    hour : (n,)
        Of the site's clock.
    open_W, shaded_W, power_W, followed_W : (n,)
        Without shadows and faults; with what stands there, sound; with faults as well; the same with
        trackers that follow the nearest peak.
    open_kWh, shaded_kWh, power_kWh, followed_kWh : float
    """

    hour: Floats
    open_W: Floats
    shaded_W: Floats
    power_W: Floats
    followed_W: Floats
    open_kWh: float
    shaded_kWh: float
    power_kWh: float
    followed_kWh: float

    __repr__ = summary


def day_energy(scenario: Scenario, *, step_min: float = STEP_min, heard: Heard | None = None) -> DayEnergy:
    """Play a day three times: open, shaded, and shaded with the scenario's faults.

    Parameters
    ----------
    scenario : Scenario
        With a day.
    step_min : float
    heard : callable, optional
        Called with "power", "shaded" or "open" and each frame as it is solved, the real array first.

    Raises
    ------
    ScenarioError
        As `film_of`.
    """
    sound = replace(scenario, faults=(), light=replace(scenario.light, painted=(), shadows=()))
    same = not scenario.faults and not scenario.light.painted and not scenario.light.shadows
    films = {"power": film_of(scenario, step_min=step_min)}
    films["shaded"] = films["power"] if same else film_of(sound, step_min=step_min)
    films["open"] = film_of(sound, step_min=step_min, shadows=False)
    hour = films["power"].light.hour
    watts: dict[str, Floats] = {}
    followed = np.zeros(len(hour))
    for name, film in films.items():
        if name == "shaded" and same:
            watts[name] = watts["power"]
            continue
        watts[name] = np.zeros(len(hour))
        for frame in film.frames():
            watts[name][frame.at] = frame.power_W
            if name == "power":
                followed[frame.at] = frame.followed_W
            if heard is not None:
                heard(name, frame)
    step_h = step_min / 60.0
    return DayEnergy(
        hour=hour,
        open_W=watts["open"],
        shaded_W=watts["shaded"],
        power_W=watts["power"],
        followed_W=followed,
        open_kWh=energy_kWh(watts["open"], step_h),
        shaded_kWh=energy_kWh(watts["shaded"], step_h),
        power_kWh=energy_kWh(watts["power"], step_h),
        followed_kWh=energy_kWh(followed, step_h),
    )


def energy_kWh(power_W: Floats, step_h: float) -> float:
    """The energy of powers at equal steps; before and after them there is none."""
    return float(power_W.sum()) * step_h / 1000.0
