"""A scenario together with its solution, kept for the next time it is asked for."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass
from threading import Lock

from pvsim.array.scenario import Scenario
from pvsim.array.solution import ArraySolution
from pvsim.array.solve import solve_array

KEPT = 24  # solved scenarios; a lesson meets two for each of its steps
MOST_CELLS_KEPT = 20_000  # ten times the largest array of a lesson, some megabytes


@dataclass(frozen=True, slots=True, eq=False)
class Situation:
    """A scenario and what it does."""

    scenario: Scenario
    solution: ArraySolution


_kept: OrderedDict[Scenario, Situation] = OrderedDict()
_lock = Lock()


def solved(scenario: Scenario) -> Situation:
    """The scenario, solved; equal scenarios are solved once while they are in use.

    Raises
    ------
    PvsimError
        If the solver refuses the scenario.
    """
    with _lock:
        if scenario in _kept:
            _kept.move_to_end(scenario)
            return _kept[scenario]
    found = Situation(scenario, solve_array(scenario))
    remember(found)
    return found


def remember(situation: Situation) -> None:
    """Keep a solved scenario for the next time it is asked for, unless it is very large."""
    if len(situation.solution.cells.power_W) > MOST_CELLS_KEPT:
        return
    with _lock:
        _kept[situation.scenario] = situation
        while len(_kept) > KEPT:
            _kept.popitem(last=False)
