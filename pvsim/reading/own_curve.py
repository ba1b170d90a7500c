"""A part by itself: what it would give if it were taken out and measured alone, as it is."""

from __future__ import annotations

from weakref import WeakKeyDictionary

from pvsim.array.place import WHOLE_ARRAY, Place
from pvsim.array.solution import ArraySolution
from pvsim.array.solve import part_curve
from pvsim.circuit import Characteristic

__all__ = ["greatest_power", "own_curve"]

_curves: WeakKeyDictionary[ArraySolution, dict[Place, Characteristic]] = WeakKeyDictionary()


def own_curve(solution: ArraySolution, place: Place) -> Characteristic:
    """The characteristic of a part on its own; kept as long as the solution.

    Parameters
    ----------
    solution : ArraySolution
        Of the array that has the part, with its light, temperatures and faults.
    place : Place
        Of any level. Strings that have a tracker each are taken as joined side by side for the whole
        array, as one tracker would see them.

    Raises
    ------
    ScenarioError
        If the array, as built, does not have the part.
    """
    kept = _curves.setdefault(solution, {})
    if place not in kept:
        kept[place] = part_curve(solution, place)
    return kept[place]


def greatest_power(solution: ArraySolution, place: Place) -> float:
    """The most a part could give on its own, in W: of several trackers all that each could draw.

    Parameters
    ----------
    solution : ArraySolution
    place : Place
        Of any level.

    Raises
    ------
    ScenarioError
        If the array, as built, does not have the part.
    """
    if place == WHOLE_ARRAY:
        return float(sum(one.characteristic.mpp.power_W for one in solution.trackers))
    return own_curve(solution, place).mpp.power_W
