"""The energy of a day, and what shadow, faults and a tracker on the wrong peak cost of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from pvsim.array.scenario import Scenario
from pvsim.circuit.floats import Floats
from pvsim.day.day_light import STEP_min
from pvsim.day.film import DayFilm, DayFrame, film_of
from pvsim.prompt import summary

__all__ = ["DayEnergy", "DayFilms", "day_energy", "day_films", "energy_kWh", "play"]

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


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DayFilms:
    """One day three times over; a film that would be like another one is that one.

    Parameters
    ----------
    power : DayFilm
        The array as it is.
    shaded : DayFilm
        Without its faults, and with nothing on its glass.
    open : DayFilm
        The same where nothing throws a shadow either.
    step_min : float
        Between two times.
    """

    power: DayFilm
    shaded: DayFilm
    open: DayFilm
    step_min: float

    __repr__ = summary

    @property
    def to_solve(self) -> int:
        """How many times there are to solve in all."""
        return len(self.power.light.hour) * len({id(one) for one in (self.power, self.shaded, self.open)})


def day_films(scenario: Scenario, *, step_min: float = STEP_min) -> DayFilms:
    """The light of a day as it falls on the array as it is, sound, and sound in the open.

    Raises
    ------
    ScenarioError
        As `film_of`.
    """
    sound = replace(scenario, faults=(), light=replace(scenario.light, painted=(), shadows=()))
    same = not scenario.faults and not scenario.light.painted and not scenario.light.shadows
    power = film_of(scenario, step_min=step_min)
    shaded = power if same else film_of(sound, step_min=step_min)
    dark = any(len(shape) for things in shaded.light.polygons for thing in things for shape in thing)
    bright = film_of(sound, step_min=step_min, shadows=False) if dark else shaded
    return DayFilms(power=power, shaded=shaded, open=bright, step_min=step_min)


def day_energy(scenario: Scenario, *, step_min: float = STEP_min, heard: Heard | None = None) -> DayEnergy:
    """Play a day three times: open, shaded, and shaded with the scenario's faults.

    Parameters
    ----------
    scenario : Scenario
        With a day.
    step_min : float
    heard : callable, optional
        As for `play`.

    Raises
    ------
    ScenarioError
        As `film_of`.
    """
    return play(day_films(scenario, step_min=step_min), heard=heard)


def play(films: DayFilms, *, heard: Heard | None = None) -> DayEnergy:
    """Solve the films of a day, each once.

    Parameters
    ----------
    films : DayFilms
    heard : callable, optional
        Called with "power", "shaded" or "open" and each frame as it is solved, the real array first.
    """
    hour = films.power.light.hour
    watts: dict[str, Floats] = {}
    followed = np.zeros(len(hour))
    solved: dict[int, Floats] = {}
    for name, film in (("power", films.power), ("shaded", films.shaded), ("open", films.open)):
        if id(film) in solved:
            watts[name] = solved[id(film)]
            continue
        solved[id(film)] = watts[name] = np.zeros(len(hour))
        for frame in film.frames():
            watts[name][frame.at] = frame.power_W
            if name == "power":
                followed[frame.at] = frame.followed_W
            if heard is not None:
                heard(name, frame)
    step_h = films.step_min / 60.0
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
