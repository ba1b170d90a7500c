"""Holding the array against limits that hurt people when they are passed."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from pvsim.app.session.parameters import Parameters
from pvsim.app.session.sentences import sentence_start
from pvsim.array.fault import Fault
from pvsim.array.index import array_index
from pvsim.array.scenario import Scenario
from pvsim.circuit import budget
from pvsim.errors import PvsimError
from pvsim.safety import (
    ColdVoltage,
    EarthFault,
    EarthReadings,
    Ratings,
    ReverseCurrent,
    cold_voltages,
    locate_earth_fault,
    own_earth_fault,
    reverse_currents,
)

__all__ = ["EarthFound", "LimitCommands", "LimitsFound"]

LONGEST_S = 4.0  # that anybody waits for it
POLES = ("minus", "plus")
MOST_STRINGS = 8  # told one by one


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LimitsFound:
    """What was worked out, and for what.

    Parameters
    ----------
    scenario : Scenario
    ratings : Ratings
    cold : tuple of ColdVoltage
    reverse : tuple of ReverseCurrent
    own_fault : (Fault, EarthReadings) or None
        The one earth fault of the array, and what a voltmeter shows with it.
    """

    scenario: Scenario
    ratings: Ratings
    cold: tuple[ColdVoltage, ...]
    reverse: tuple[ReverseCurrent, ...]
    own_fault: tuple[Fault, EarthReadings] | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class EarthFound:
    """Where an earth fault is by two voltages, string by string, or why that cannot be said.

    Parameters
    ----------
    scenario : Scenario
    faults : tuple of EarthFault
    wrong : str
        Empty where they were found.
    """

    scenario: Scenario
    faults: tuple[EarthFault, ...] = ()
    wrong: str = ""


class LimitCommands(Parameters):
    """Commands that change nothing of the array: they are not locked, and nothing of them is undone."""

    def set_ratings(self, **changes: Any) -> None:
        """Change what the array is held against, with changes named as the fields of Ratings."""
        self._update(ratings=replace(self.ratings, **changes), notice="")

    def work_out_limits(self) -> None:
        """Cold voltage and reverse current of the array as it is now."""
        scenario, ratings = self.scenario, self.ratings
        try:
            with budget.within(LONGEST_S):
                cold, reverse = cold_voltages(scenario, ratings), reverse_currents(scenario, ratings)
                own = own_earth_fault(scenario)
        except PvsimError as error:
            self._refuse(error)
            return
        found = LimitsFound(scenario=scenario, ratings=ratings, cold=cold, reverse=reverse, own_fault=own)
        self._update(limits=found, notice="")

    def set_earth_reading(self, pole: str, volts: float) -> None:
        """What a voltmeter shows between a pole, "minus" or "plus", and earth."""
        readings = {**self.earth_readings, pole: volts}
        self._update(earth_readings=readings, earth=self._located(readings), notice="")

    def _located(self, readings: dict[str, float]) -> EarthFound | None:
        if len(readings) < len(POLES):
            return None
        scenario = self.scenario
        strings = range(1, min(len(array_index(scenario).strings), MOST_STRINGS) + 1)
        try:
            read = EarthReadings(minus_V=readings["minus"], plus_V=readings["plus"])
            with budget.within(LONGEST_S):
                faults = tuple(locate_earth_fault(scenario, number, read) for number in strings)
        except PvsimError as error:
            return EarthFound(scenario=scenario, wrong=sentence_start(str(error)))
        return EarthFound(scenario=scenario, faults=faults)
