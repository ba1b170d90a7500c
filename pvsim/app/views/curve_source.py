"""Where the curves come from: a part's circuit and characteristic, and where the array holds it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from weakref import WeakKeyDictionary

import numpy as np

from pvsim.app.views.construction import Stage, stages
from pvsim.app.views.curve_data import Axes, filling, reach
from pvsim.array.build import Built, circuits, part_circuit
from pvsim.array.identity_memo import IdentityMemo
from pvsim.array.index import cell_slice, module_range
from pvsim.array.light import Light
from pvsim.array.module import substring_cells
from pvsim.array.operating_point import characteristic, operating_point
from pvsim.array.operation import Operation
from pvsim.array.part_place import place_at
from pvsim.array.place import WHOLE_ARRAY, Place, level_of
from pvsim.array.scenario import Scenario, module_type
from pvsim.array.solution import ArraySolution
from pvsim.array.solve import level_curve
from pvsim.array.weather import Weather
from pvsim.circuit import (
    Cell,
    Characteristic,
    Element,
    Parallel,
    PowerPoint,
    Series,
    solve,
)
from pvsim.circuit.mesh import Mesh
from pvsim.errors import ScenarioError

__all__ = [
    "array_at",
    "array_point",
    "breakdown_voltage",
    "conducting",
    "construction",
    "curve_if_there",
    "curve_of",
    "held_scale",
    "point_of",
    "tracker_curve",
    "tracker_point",
    "unbroken_curve",
    "unbroken_if_there",
    "unbroken_strings",
    "unbroken_whole",
]

POINTS = 400
INWARD = {"array": "string", "string": "module", "module": "substring", "substring": "cell"}

_unbroken: IdentityMemo[Scenario] = IdentityMemo(8)
_unbroken_curves: IdentityMemo[dict[Place, Characteristic]] = IdentityMemo(8)
_Kept = dict[tuple[Place | int, Axes], Characteristic]
_curves: WeakKeyDictionary[ArraySolution, _Kept] = WeakKeyDictionary()


def unbroken_scenario(scenario: Scenario) -> Scenario:
    """The same array with nothing wrong, in full light at 25 degrees C: what sets the axes."""
    parts = (scenario.array, scenario.module_types)
    return _unbroken.get(
        parts,
        lambda: replace(scenario, light=Light(), faults=(), weather=Weather(), operation=Operation("mpp")),
    )


def unbroken_curve(scenario: Scenario, place: Place) -> Characteristic:
    """The characteristic of a part in good order; the same object while the array stays."""
    sound = unbroken_scenario(scenario)
    kept = _unbroken_curves.get((sound,), dict)
    if place not in kept:
        try:
            kept[place] = level_curve(sound, place)
        except ScenarioError:  # a module too many: the array as planned does not have it
            kept[place] = level_curve(sound, replace(place, module=1))
    return kept[place]


def breakdown_voltage(scenario: Scenario, place: Place) -> float:
    """What one cell of a part can be driven to in reverse, in V; -20 V where its type has no breakdown."""
    string = place_at(scenario, place, "module")
    modules = scenario.array.strings[(string.string or 1) - 1].modules
    kind = module_type(scenario, modules[min((string.module or 1), len(modules)) - 1].type)
    return kind.cell.breakdown_voltage_V if kind.cell.breakdown_fraction > 0.0 else -20.0


def circuit_of(solution: ArraySolution, place: Place) -> Element | Mesh:
    """The circuit of a part."""
    return part_circuit(solution.scenario, place, solution.built)


def curve_of(solution: ArraySolution, place: Place, axes: Axes) -> Characteristic:
    """The characteristic of a part, drawn as far as the axes reach; kept as long as the solution."""
    kept = _curves.setdefault(solution, {})
    if (place, axes) not in kept:
        kept[place, axes] = _curve_of(solution, place, axes)
    return kept[place, axes]


def _curve_of(solution: ArraySolution, place: Place, axes: Axes) -> Characteristic:
    if place == WHOLE_ARRAY:
        if len(solution.trackers) > 1:
            raise ScenarioError(
                f"the array has {len(solution.trackers)} trackers and no characteristic of its own",
                expected="an array with one tracker",
                mend="Take each tracker's characteristic",
            )
        return tracker_curve(solution, 0, axes)
    circuit = circuit_of(solution, place)
    if isinstance(circuit, Mesh):
        return characteristic(circuit, points=POINTS)
    return filling(circuit, axes, points=POINTS)


def curve_if_there(solution: ArraySolution | None, place: Place, axes: Axes) -> Characteristic | None:
    """As `curve_of`; none without a solution, or where the array does not have the part or its curve."""
    if solution is None:
        return None
    try:
        return curve_of(solution, place, axes)
    except ScenarioError:
        return None


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


def tracker_point(solution: ArraySolution, number: int) -> PowerPoint:
    """Where one of the trackers, counted from 0, holds its strings."""
    point = solution.trackers[number].point
    return _power_point(point.voltage_V, point.current_A)


def tracker_curve(solution: ArraySolution, number: int, axes: Axes) -> Characteristic:
    """What a tracker, counted from 0, sees, as far as the axes reach; kept as long as the solution."""
    kept = _curves.setdefault(solution, {})
    if (number, axes) not in kept:
        curve = solution.trackers[number].characteristic
        circuit = solution.built.trackers[number].circuit
        kept[number, axes] = curve if isinstance(circuit, Mesh) else reach(circuit, curve, axes)
    return kept[number, axes]


def array_point(solution: ArraySolution) -> PowerPoint | None:
    """Where the array is held; none where each string has a tracker of its own."""
    return None if len(solution.trackers) > 1 else tracker_point(solution, 0)


def point_of(solution: ArraySolution, place: Place) -> PowerPoint | None:
    """Where a part is held in the array; none for an array of several trackers."""
    level = level_of(place)
    if level == "array":
        return array_point(solution)
    if level == "string":
        states, k = solution.strings, (place.string or 1) - 1
    elif level == "module":
        states, k = solution.modules, solution.module_index(place)
    elif level == "substring":
        states, k = solution.substrings, solution.substring_index(place)
    else:
        k = solution.cell_index(place)
        return _power_point(float(solution.cells.voltage_V[k]), float(solution.cells.current_A[k]))
    return _power_point(float(states.voltage_V[k]), float(states.current_A[k]))


def conducting(solution: ArraySolution, place: Place, *, backward: bool = False) -> tuple[Place, ...]:
    """The bypass diodes that conduct in a part, or across it for a cell; or those that let current back."""
    index = solution.index
    on = np.flatnonzero(solution.diodes.backward if backward else solution.diodes.conducting)
    first, last = module_range(index, place)
    low, high = index.diode_start[first], index.diode_start[last]
    found = tuple(_diodes(solution, on[(on >= low) & (on < high)]))
    if level_of(place) in ("cell", "substring"):
        at = solution.substring_index(place)
        return tuple(one for one in found if solution.substring_index(one) == at)
    return found


def _diodes(solution: ArraySolution, which: Iterable[int]) -> Iterable[Place]:
    index = solution.index
    for k in which:
        module = int(np.searchsorted(index.diode_start, k, side="right")) - 1
        kind = index.kinds[index.module_kind[module]]
        number = int(kind.diode_substring[k - index.diode_start[module]]) + 1
        string, place = int(index.module_string[module]) + 1, int(index.module_number[module]) + 1
        yield Place(string, place, diode=number)


def construction(solution: ArraySolution, place: Place, level: str) -> tuple[Stage, ...]:
    """The steps that build the part's curve; none where wires cross between strings."""
    return _construction(solution.scenario, solution.built, place, level)


def unbroken_whole(scenario: Scenario, place: Place, level: str, key: str) -> Characteristic:
    """What the parts of one step make when nothing is wrong; the part itself where that is unknown."""
    sound = unbroken_scenario(scenario)
    for stage in _construction(sound, circuits(sound), place, level):
        if stage.key == key:
            return solve(stage.whole)
    return unbroken_curve(scenario, place)


def _construction(scenario: Scenario, built: Built, place: Place, level: str) -> tuple[Stage, ...]:
    circuit = part_circuit(scenario, place, built)
    while level in INWARD:
        # A part that holds a single part and nothing else is that part: a string of one module.
        inner = place_at(scenario, place, INWARD[level])
        if part_circuit(scenario, inner, built) is not circuit:
            break
        place, level = inner, INWARD[level]
    if isinstance(circuit, Mesh):
        return ()
    first = 1
    if level == "substring":
        module, _last = module_range(built.index, place)
        kind = built.index.kinds[built.index.module_kind[module]].kind
        first = substring_cells(kind, place.substring or 1)[0]
    crossed = scenario.array.wiring == "cross-tied" and level == "array"
    return stages(circuit, "rows" if crossed else level, first=first)


def array_at(solution: ArraySolution, place: Place, point: PowerPoint) -> PowerPoint:
    """Where the array is when a part of it is at this point of its own curve.

    Parameters
    ----------
    place : Place
        The part.
    point : PowerPoint
        On the part's curve. Parts in series share its current, parts side by side its voltage.

    Notes
    -----
    Each level is solved on its own from the one inside it, so faults anywhere count.
    """
    level = level_of(place)
    scenario = solution.scenario
    if level == "cell":
        point, level = _substring_at(solution, place, point), "substring"
        place = place_at(scenario, place, "substring")
    if level == "substring":
        place, level = place_at(scenario, place, "module"), "module"
        point = _by_current(circuit_of(solution, place), point.current_A)
    if level == "module":
        string = place_at(scenario, place, "string")
        sign = -1.0 if solution.built.reversed_modules[solution.module_index(place)] else 1.0
        if scenario.array.wiring == "cross-tied":
            return _row_at(solution, place, point, sign)
        place, level = string, "string"
        point = _by_current(circuit_of(solution, place), sign * point.current_A)
    if level == "string" and len(solution.trackers) == 1:
        return _strings_at(solution, point)
    return point


def _substring_at(solution: ArraySolution, place: Place, point: PowerPoint) -> PowerPoint:
    """The substring's point from that of one of its cells."""
    outer = place_at(solution.scenario, place, "substring")
    element = circuit_of(solution, outer)
    if isinstance(element, Cell):
        return point
    if isinstance(element, Series):
        return _by_current(element, point.current_A)
    assert isinstance(element, Parallel)
    at = solution.cell_index(place) - cell_slice(solution.index, outer).start
    for strand in element.children:
        size = len(strand.children) if isinstance(strand, Series) else 1
        if at < size:
            return _by_voltage(element, _by_current(strand, point.current_A).voltage_V)
        at -= size
    raise AssertionError("a cell beyond its substring")


def _strings_at(solution: ArraySolution, point: PowerPoint) -> PowerPoint:
    """The array's point from that of one string: strings share their voltage before the main cable."""
    circuit = solution.trackers[0].characteristic.circuit
    if isinstance(circuit, Mesh):
        return point
    if len(solution.index.strings) == 1:
        return _by_current(circuit, point.current_A)
    if isinstance(circuit, Series):
        return _by_current(circuit, _by_voltage(circuit.children[0], point.voltage_V).current_A)
    return _by_voltage(circuit, point.voltage_V)


def _row_at(solution: ArraySolution, place: Place, point: PowerPoint, sign: float) -> PowerPoint:
    """The array's point from that of a module of a cross-tied array: its row shares the voltage."""
    circuit = solution.trackers[0].characteristic.circuit
    if not isinstance(circuit, Series):
        return point
    row = circuit.children[(place.module or 1) - 1]
    return _by_current(circuit, _by_voltage(row, sign * point.voltage_V).current_A)


def _by_current(circuit: Element | Mesh, current_A: float) -> PowerPoint:
    found = operating_point(circuit, Operation("current", current_A))
    return _power_point(found.voltage_V, found.current_A)


def _by_voltage(circuit: Element | Mesh, voltage_V: float) -> PowerPoint:
    found = operating_point(circuit, Operation("voltage", voltage_V))
    return _power_point(found.voltage_V, found.current_A)


def _power_point(voltage_V: float, current_A: float) -> PowerPoint:
    return PowerPoint(voltage_V=voltage_V, current_A=current_A, power_W=voltage_V * current_A)
