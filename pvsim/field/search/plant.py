"""The plant as one has left it, and the circuit that this makes.

    inverter runs                 at its greatest maximum of power
    stopped, DC switch closed     no current leaves, but strings still lie side by side
    DC switch open                every string by itself, no current

A separated string is one whose cable is open. A cloth takes light from the glass.
"""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass, replace
from threading import Lock

from pvsim.array.change import add_fault, paint, set_array, set_operation
from pvsim.array.fault import Fault
from pvsim.array.place import Place
from pvsim.array.scenario import Scenario, as_built_lengths
from pvsim.array.solution import ArraySolution
from pvsim.array.solve import solve_array

__all__ = ["AS_FOUND", "Plant", "as_it_stands", "built_length", "is_built", "run_voltage_V", "solved"]

_POINTS = 60  # of each characteristic; meters are put on the operating point, not on these
_MOST_KEPT = 256
_MOST_CELLS = 200_000  # of all that are kept, about 60 MB: 140 arrays of a search, or one of 2,500 modules


@dataclass(frozen=True, slots=True, kw_only=True)
class Plant:
    """What has been switched, proven, separated and covered.

    Parameters
    ----------
    running : bool
        The inverter.
    switch_closed : bool
        The DC switch.
    proven : bool
        Zero current was shown on every string since the switch was opened.
    separated : tuple of int
        Numbers of strings, rising.
    cloth : Place or None
    leak : float
        Of the cloth.
    """

    running: bool = True
    switch_closed: bool = True
    proven: bool = False
    separated: tuple[int, ...] = ()
    cloth: Place | None = None
    leak: float = 0.0


AS_FOUND = Plant()
_KEPT: OrderedDict[tuple[Scenario, Plant], ArraySolution] = OrderedDict()
_LOCK = Lock()  # readings are taken in several threads


def as_it_stands(scenario: Scenario, plant: Plant) -> Scenario:
    """The scenario with the cloth on it, separated strings apart, held where the plant holds it."""
    if plant.cloth is not None:
        scenario = paint(scenario, [plant.cloth], plant.leak)
    if not plant.switch_closed:
        # One wire between strings that nothing else joins closes no loop.
        scenario = replace(
            scenario, faults=tuple(one for one in scenario.faults if one.kind != "string-bridge")
        )
        return set_operation(set_array(scenario, tracking="per-string"), "current", 0.0)
    for string in plant.separated:
        apart = Fault("cable-open", Place(string))
        if apart not in scenario.faults:
            scenario = add_fault(scenario, apart)
    return scenario if plant.running else set_operation(scenario, "current", 0.0)


def solved(scenario: Scenario, plant: Plant) -> ArraySolution:
    """The circuit as it stands, solved; kept for the next meter, the larger the fewer."""
    key = scenario, plant
    with _LOCK:
        found = _KEPT.get(key)
        if found is not None:
            _KEPT.move_to_end(key)
            return found
    found = solve_array(as_it_stands(scenario, plant), points=_POINTS)
    with _LOCK:
        _KEPT[key] = found
        cells = sum(_cells(one) for one in _KEPT.values())
        while len(_KEPT) > 1 and (cells > _MOST_CELLS or len(_KEPT) > _MOST_KEPT):
            _key, oldest = _KEPT.popitem(last=False)
            cells -= _cells(oldest)
    return found


def _cells(solution: ArraySolution) -> int:
    return len(solution.cells.temperature_K)


def built_length(scenario: Scenario, string: int) -> int:
    """How many modules a string has as it was built."""
    return as_built_lengths(scenario)[string - 1]


def is_built(scenario: Scenario, place: Place) -> bool:
    """Whether what a plan shows at a place was built."""
    return place.string is None or (place.module or 0) <= built_length(scenario, place.string)


def run_voltage_V(solution: ArraySolution, string: int, first: int, last: int) -> float:
    """What lies between the minus lead of one module and the plus lead of another of its string.

    Modules as they are plugged in, resistive connectors at their plus leads counted in; of one that was left
    out when the string was built, nothing.
    """
    built, total = solution.built, 0.0
    begin = 0
    leaves: dict[int, float] = {}
    for tracker in solution.trackers:
        V = tracker.point.leaf_voltage_V
        for module, leaf in built.connector_leaf.items():
            if begin <= leaf < begin + len(V):
                leaves[module] = float(V[leaf - begin])
        begin += len(V)
    for number in range(first, min(last, built_length(solution.scenario, string)) + 1):
        module = solution.module_index(Place(string, number))
        sign = -1.0 if built.reversed_modules[module] else 1.0
        total += sign * float(solution.modules.voltage_V[module]) + leaves.get(module, 0.0)
    return total
