"""What a part has at its terminals while the array runs: voltage, current and power."""

from __future__ import annotations

from pvsim.array.place import Place, level_of
from pvsim.array.solution import ArraySolution, CellStates, DiodeStates, PartStates
from pvsim.circuit import PowerPoint

__all__ = ["point_of", "power_of", "power_point", "tracker_point"]


def point_of(solution: ArraySolution, place: Place) -> PowerPoint | None:
    """Where a part works while the array runs.

    Parameters
    ----------
    solution : ArraySolution
    place : Place
        Of any level.

    Returns
    -------
    PowerPoint or None
        In V, A and W by the generator convention: what eats power has a negative power. Substrings and
        modules at their own leads, so a reversed module in a working string has a negative current; a
        string with its leads, the current at its positive end. None for an array of several trackers:
        it has a power (`power_of`), but no one voltage and no one current.

    Raises
    ------
    ScenarioError
        If the array, as built, does not have the part.
    """
    level = level_of(place)
    if level == "array":
        return None if len(solution.trackers) > 1 else tracker_point(solution, 0)
    states: CellStates | DiodeStates | PartStates
    if level == "string":
        states, at = solution.strings, solution.string_index(place)
    elif level == "module":
        states, at = solution.modules, solution.module_index(place)
    elif level == "substring":
        states, at = solution.substrings, solution.substring_index(place)
    elif level == "diode":
        states, at = solution.diodes, solution.diode_index(place)
    else:
        states, at = solution.cells, solution.cell_index(place)
    return PowerPoint(
        voltage_V=float(states.voltage_V[at]),
        current_A=float(states.current_A[at]),
        power_W=float(states.power_W[at]),
    )


def power_of(solution: ArraySolution, place: Place) -> float:
    """What a part gives while the array runs, in W; negative for one that eats power.

    Parameters
    ----------
    solution : ArraySolution
    place : Place
        Of any level; the array gives what all its trackers draw together.

    Raises
    ------
    ScenarioError
        If the array, as built, does not have the part.
    """
    point = point_of(solution, place)
    return solution.power_W if point is None else point.power_W


def tracker_point(solution: ArraySolution, number: int) -> PowerPoint:
    """Where one of the trackers, counted from 0, holds its strings; in V, A and W."""
    point = solution.trackers[number].point
    return power_point(point.voltage_V, point.current_A)


def power_point(voltage_V: float, current_A: float) -> PowerPoint:
    """The point of this voltage in V and current in A, with their product."""
    return PowerPoint(voltage_V=voltage_V, current_A=current_A, power_W=voltage_V * current_A)
