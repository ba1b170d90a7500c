"""The characteristic of a part, as far as the axes reach."""

from __future__ import annotations

from weakref import WeakKeyDictionary

from pvsim.array.build import part_circuit
from pvsim.array.operating_point import characteristic
from pvsim.array.place import WHOLE_ARRAY, Place
from pvsim.array.solution import ArraySolution
from pvsim.circuit import Characteristic, Element
from pvsim.circuit.mesh import Mesh
from pvsim.errors import ScenarioError
from pvsim.reading.axes import Axes, filling, reach

__all__ = ["circuit_of", "curve_if_there", "curve_within", "tracker_curve"]

POINTS = 400

_Kept = dict[tuple[Place | int, Axes], Characteristic]
_curves: WeakKeyDictionary[ArraySolution, _Kept] = WeakKeyDictionary()


def circuit_of(solution: ArraySolution, place: Place) -> Element | Mesh:
    """The circuit of a part at work, as `part_circuit` has it.

    Raises
    ------
    ScenarioError
        If the array, as built, does not have the part.
    """
    return part_circuit(solution.scenario, place, solution.built)


def curve_within(solution: ArraySolution, place: Place, axes: Axes) -> Characteristic:
    """The characteristic of a part on its own, solved as far as the axes reach; kept as long as the solution.

    Parameters
    ----------
    solution : ArraySolution
    place : Place
        Of any level.
    axes : Axes
        How far it is shown. A shaded part's own curve would end soon above its own Isc, and what it does
        at the currents of its neighbours is what matters.

    Raises
    ------
    ScenarioError
        If the array, as built, does not have the part, or is asked for a curve and has several trackers.
    """
    kept = _curves.setdefault(solution, {})
    if (place, axes) not in kept:
        kept[place, axes] = _curve_within(solution, place, axes)
    return kept[place, axes]


def _curve_within(solution: ArraySolution, place: Place, axes: Axes) -> Characteristic:
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
    """As `curve_within`; none without a solution, or where the array does not have the part or its curve."""
    if solution is None:
        return None
    try:
        return curve_within(solution, place, axes)
    except ScenarioError:
        return None


def tracker_curve(solution: ArraySolution, number: int, axes: Axes) -> Characteristic:
    """What a tracker, counted from 0, sees, as far as the axes reach; kept as long as the solution.

    A mesh is drawn as far as its curve goes by itself.
    """
    kept = _curves.setdefault(solution, {})
    if (number, axes) not in kept:
        kept[number, axes] = _tracker_curve(solution, number, axes)
    return kept[number, axes]


def _tracker_curve(solution: ArraySolution, number: int, axes: Axes) -> Characteristic:
    curve = solution.trackers[number].characteristic
    circuit = solution.built.trackers[number].circuit
    if isinstance(circuit, Mesh):
        return characteristic(circuit, points=POINTS)
    if len(curve.voltage_V) < POINTS:
        return filling(circuit, axes, points=POINTS)
    return reach(circuit, curve, axes)
