"""The same array with nothing wrong: what its parts would give, which sets the scale of what is shown."""

from __future__ import annotations

from dataclasses import replace

from pvsim.array.identity_memo import IdentityMemo
from pvsim.array.light import Light
from pvsim.array.operation import Operation
from pvsim.array.part_place import place_at
from pvsim.array.place import WHOLE_ARRAY, Place
from pvsim.array.scenario import Scenario, module_type
from pvsim.array.solution import ArraySolution
from pvsim.array.solve import level_curve
from pvsim.array.weather import Weather
from pvsim.circuit import Characteristic
from pvsim.errors import ScenarioError

__all__ = [
    "breakdown_voltage",
    "held_scale",
    "unbroken_curve",
    "unbroken_if_there",
    "unbroken_scenario",
    "unbroken_strings",
]

_unbroken: IdentityMemo[Scenario] = IdentityMemo(8)
_unbroken_curves: IdentityMemo[dict[Place, Characteristic]] = IdentityMemo(8)


def unbroken_scenario(scenario: Scenario) -> Scenario:
    """The same array with nothing wrong, in full light at 25 degrees C: what sets the axes."""
    parts = (scenario.array, scenario.module_types)
    return _unbroken.get(
        parts,
        lambda: replace(scenario, light=Light(), faults=(), weather=Weather(), operation=Operation("mpp")),
    )


def unbroken_curve(scenario: Scenario, place: Place) -> Characteristic:
    """The characteristic of a part in good order; the same object while the array stays.

    Parameters
    ----------
    scenario : Scenario
        With whatever is wrong in it.
    place : Place
        Of any level. A module that a fault has put in is like the string's first.

    Raises
    ------
    ScenarioError
        If the array has no such part.
    """
    sound = unbroken_scenario(scenario)
    kept = _unbroken_curves.get((sound,), dict)
    if place not in kept:
        try:
            kept[place] = level_curve(sound, place)
        except ScenarioError:  # a module too many: the array as planned does not have it
            kept[place] = level_curve(sound, replace(place, module=1))
    return kept[place]


def unbroken_if_there(solution: ArraySolution | None, place: Place) -> tuple[Characteristic, ...]:
    """As `unbroken_curve`, of what is compared with; none where that has no such part or curve."""
    if solution is None or (place == WHOLE_ARRAY and len(solution.trackers) > 1):
        return ()
    try:
        return (unbroken_curve(solution.scenario, place),)
    except ScenarioError:
        return ()


def unbroken_strings(scenario: Scenario) -> tuple[Characteristic, ...]:
    """The characteristics of the strings in good order, equal strings once."""
    numbers = {string: k + 1 for k, string in enumerate(scenario.array.strings)}
    return tuple(unbroken_curve(scenario, Place(number)) for number in numbers.values())


def held_scale(solution: ArraySolution) -> Characteristic:
    """What a tracker sees in good order: the array, or where each string has its own the longest string."""
    if len(solution.trackers) == 1:
        return unbroken_curve(solution.scenario, WHOLE_ARRAY)
    return max(unbroken_strings(solution.scenario), key=lambda one: one.voc_V)


def breakdown_voltage(scenario: Scenario, place: Place) -> float:
    """What one cell of a part can be driven to in reverse, in V; -20 V where its type has no breakdown."""
    string = place_at(scenario, place, "module")
    modules = scenario.array.strings[(string.string or 1) - 1].modules
    kind = module_type(scenario, modules[min((string.module or 1), len(modules)) - 1].type)
    return kind.cell.breakdown_voltage_V if kind.cell.breakdown_fraction > 0.0 else -20.0
