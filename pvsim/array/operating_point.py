"""Where an operation holds a circuit."""

from __future__ import annotations

from pvsim.array.operation import Operation
from pvsim.circuit import operate, solve
from pvsim.circuit.mesh import Mesh
from pvsim.circuit.network import Element
from pvsim.circuit.solution import OperatingPoint
from pvsim.errors import PathError
from pvsim.numbers import short_number
from pvsim.words import _

Point = OperatingPoint
characteristic = solve

MOST_HELD_V = 1e6  # far beyond what cells in reverse reach; only a break takes more to carry a current


def operating_point(circuit: Element | Mesh, operation: Operation, *, points: int = 400) -> Point:
    """An element or a mesh where the operation holds it.

    Parameters
    ----------
    points : int
        Of the characteristic that a tracker looks for its MPP on.

    Raises
    ------
    PathError
        If a current is to be held for which an open place leaves no path.
    """
    point = _point(circuit, operation, points)
    held_A = operation.value if operation.kind == "current" else None
    if held_A is not None and abs(point.voltage_V) > MOST_HELD_V:
        raise PathError(
            _("there is no path for the {value} A that the array is held at").format(
                value=short_number(held_A)
            ),
            expected=_("a current that its strings can carry"),
            mend=_("Hold it at its MPP or at a voltage, or mend the place that is open"),
        )
    return point


def _point(circuit: Element | Mesh, operation: Operation, points: int) -> Point:
    voltage_V = operation.value if operation.kind == "voltage" else None
    current_A = operation.value if operation.kind == "current" else None
    load_ohm = operation.value if operation.kind == "load" else None
    at_mpp = operation.kind == "mpp"
    return operate(
        circuit, voltage_V=voltage_V, current_A=current_A, load_ohm=load_ohm, at_mpp=at_mpp, points=points
    )
