"""From the point of a part outwards: where the array is held when the part is there."""

from __future__ import annotations

from pvsim.array.index import cell_slice
from pvsim.array.operating_point import operating_point
from pvsim.array.operation import Operation
from pvsim.array.part_place import place_at
from pvsim.array.place import Place, level_of
from pvsim.array.solution import ArraySolution
from pvsim.circuit import Cell, Element, Parallel, PowerPoint, Series
from pvsim.circuit.mesh import Mesh
from pvsim.reading.curve import circuit_of
from pvsim.reading.terminals import power_point

__all__ = ["array_at"]


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
    return power_point(found.voltage_V, found.current_A)


def _by_voltage(circuit: Element | Mesh, voltage_V: float) -> PowerPoint:
    found = operating_point(circuit, Operation("voltage", voltage_V))
    return power_point(found.voltage_V, found.current_A)
