"""A day, time by time: what the array gives, and what a tracker gets that follows the nearest peak.

Cells are as warm as the weather says; heat feedback, which asks for several solutions at each time, is
taken as heat of the light alone.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pvsim.array.build import circuits
from pvsim.array.operating_point import characteristic
from pvsim.array.scenario import Scenario
from pvsim.circuit import budget
from pvsim.circuit.floats import Floats
from pvsim.day.day_light import DayLight, STEP_min, cells_light, day_light
from pvsim.prompt import summary

__all__ = ["DayFilm", "DayFrame", "film_of"]

CURVE_POINTS = 160  # of the characteristics that a tracker climbs on
LONGEST_S = 600.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DayFrame:
    """One time of the day.

    Parameters
    ----------
    at : int
        Its number, from 0.
    hour : float
        Of the site's clock.
    power_W : float
        With every tracker on its highest peak.
    followed_W : float
        With trackers that climb from where they stood the time before, and so may stay on a lower one.
    voltage_V, followed_V : tuple of float
        Where each tracker holds its strings in either case.
    """

    at: int
    hour: float
    power_W: float
    followed_W: float
    voltage_V: tuple[float, ...]
    followed_V: tuple[float, ...]

    __repr__ = summary


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DayFilm:
    """The light of a day, ready to be solved time by time.

    Parameters
    ----------
    light : DayLight
    cells_W_m2 : (times, cells)
        What each cell turns into current.
    """

    light: DayLight
    cells_W_m2: NDArray[np.float32]

    __repr__ = summary

    def frames(self) -> Iterator[DayFrame]:
        """Solve time after time; each frame comes as soon as it is known.

        Raises
        ------
        OvertimeError
            If the whole day takes longer than LONGEST_S.
        """
        scenario = still(self.light.scenario)
        followed: list[float] | None = None
        for at, hour in enumerate(self.light.hour.tolist()):
            with budget.within(LONGEST_S):
                frame = _frame(scenario, self.cells_W_m2[at], at, hour, followed)
            followed = list(frame.followed_V)
            yield frame

    def frame(self, at: int) -> DayFrame:
        """Solve one time alone, as if the trackers that climb had begun with it.

        Raises
        ------
        OvertimeError
            If it takes longer than LONGEST_S.
        """
        with budget.within(LONGEST_S):
            hour = float(self.light.hour[at])
            return _frame(still(self.light.scenario), self.cells_W_m2[at], at, hour, None)


def film_of(scenario: Scenario, *, step_min: float = STEP_min, shadows: bool = True) -> DayFilm:
    """The light of the scenario's day on each cell; `frames` solves it.

    Raises
    ------
    ScenarioError
        As `day_light`.
    """
    light = day_light(scenario, step_min=step_min, shadows=shadows)
    return DayFilm(light=light, cells_W_m2=cells_light(light))


def still(scenario: Scenario) -> Scenario:
    """The scenario with heat that needs no second solution."""
    if scenario.weather.heat != "feedback":
        return scenario
    return replace(scenario, weather=replace(scenario.weather, heat="steady"))


def _frame(
    scenario: Scenario, light: NDArray[np.float32], at: int, hour: float, before: list[float] | None
) -> DayFrame:
    built = circuits(scenario, irradiance_W_m2=light.astype(np.float64))
    power = followed = 0.0
    volts, kept = [], []
    for number, tracker in enumerate(built.trackers):
        curve = characteristic(tracker.circuit, points=CURVE_POINTS)
        best = curve.mpp  # to solver tolerance, however many points the curve has
        V, P = curve.voltage_V, curve.voltage_V * curve.current_A
        start = best.voltage_V if before is None else before[number]
        top = climb(V, P, start)
        if abs(V[top] - best.voltage_V) <= 2.0 * float(np.ptp(V)) / CURVE_POINTS:
            held, got = best.voltage_V, best.power_W  # the same peak, and the curve's points are coarse
        else:
            held, got = float(V[top]), float(P[top])
        power += best.power_W
        followed += min(got, best.power_W)
        volts.append(float(best.voltage_V))
        kept.append(float(held))
    return DayFrame(
        at=at,
        hour=hour,
        power_W=float(power),
        followed_W=float(followed),
        voltage_V=tuple(volts),
        followed_V=tuple(kept),
    )


def climb(voltage_V: Floats, power_W: Floats, start_V: float) -> int:
    """The point of a curve where somebody ends who climbs in power from a voltage, step by step.

    Parameters
    ----------
    voltage_V, power_W : (n,)
        Along a characteristic.
    start_V : float

    Returns
    -------
    int
        Number of a point from which power falls both ways.
    """
    order = np.argsort(voltage_V)
    P = power_W[order]
    at = int(np.clip(np.searchsorted(voltage_V[order], start_V), 0, len(order) - 1))
    while True:
        left = P[at - 1] if at > 0 else -np.inf
        right = P[at + 1] if at + 1 < len(P) else -np.inf
        if max(left, right) <= P[at]:
            return int(order[at])
        at += 1 if right >= left else -1
