"""A circuit solved at several points, and where one Newton step points."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvsim.circuit.floats import Floats, room

TOLERANCE = 1e-10  # relative residual aimed at
ACCEPTED = 1e-9  # relative residual that still counts as solved: the stated bound


@dataclass(frozen=True, slots=True, eq=False)
class States:
    """A circuit solved at several points.

    Parameters
    ----------
    voltage_V, current_A : (points,)
        At the terminals.
    slope_ohm : (points,)
        -dV/dI at the terminals.
    junction_V : (junctions, points)
        v of every distinct junction; the start for a point nearby.
    leaf_current_A : (junctions, points)
        Generator current of every distinct leaf, in the order of the plan; without rows
        where it was not asked for and there are many points.
    residual : float
        Largest missed current over the largest current of the circuit (at least 1 A).
    """

    voltage_V: Floats
    current_A: Floats
    slope_ohm: Floats
    junction_V: Floats
    leaf_current_A: Floats
    residual: float
    iterations: int


class Trail:
    """Solved points along a characteristic: the start for a point between two of them.

    Parameters
    ----------
    states : States
    """

    __slots__ = ("_order", "_v", "along_V")

    def __init__(self, states: States) -> None:
        self._order = np.argsort(states.voltage_V, kind="stable")
        self.along_V = states.voltage_V[self._order]
        self._v = states.junction_V

    def between(self, V: Floats) -> Floats:
        """Junction voltages (junctions, points) between the solved neighbours of each V."""
        along = self.along_V
        k = np.minimum(np.maximum(np.searchsorted(along, V), 1), len(along) - 1)
        share = (V - along[k - 1]) / np.maximum(along[k] - along[k - 1], 1e-300)
        start: Floats = self._v[:, self._order[k - 1]] * (1.0 - share)
        start += self._v[:, self._order[k]] * share
        return start


_ARRAYS = ("voltage_V", "current_A", "slope_ohm", "junction_V", "leaf_current_A")


def empty_states(leaves: int, points: int, *, currents: bool = True, by_point: bool = False) -> States:
    """Room for so many points, with the currents of the leaves or without.

    By point the leaves of each lie beside each other in memory, however few; else as `room` has them.
    """
    V, I, slope = np.empty((3, points))
    v, leaf_A = (
        np.empty((points, rows)).T if by_point else room(rows, points)
        for rows in (leaves, leaves if currents else 0)
    )
    return States(V, I, slope, v, leaf_A, 0.0, 0)


def fill_states(done: States, found: States, points: NDArray[np.intp] | slice) -> None:
    """Write what was found into the points left open; currents only where there is room for them."""
    for name in _ARRAYS:
        if len(getattr(done, name)):
            getattr(done, name)[..., points] = getattr(found, name)


@dataclass(slots=True)
class Target:
    """Where one Newton step points: terminals, leaf currents, junction currents."""

    V: Floats
    I: Floats
    r: Floats
    leaf_I: Floats
    x: Floats
    v: Floats
    scale: Floats
    limited: NDArray[np.bool_] | None  # points whose next v is not the tangent's
    bound: Floats | None = None  # on what each point will miss, as `settled` has it

    def pick(self, points: NDArray[np.intp]) -> Target:
        """Some of the points."""
        return Target(
            self.V[points],
            self.I[points],
            self.r[points],
            self.leaf_I[:, points],
            self.x[:, points],
            self.v[:, points],
            self.scale[points],
            None if self.limited is None else self.limited[points],
            None if self.bound is None else self.bound[points],
        )

    def settled(self, f: Floats, lenient: bool) -> tuple[NDArray[np.bool_], Floats]:
        """Which points are solved, f being the law at the next v, and by how much each misses."""
        missed = f - self.x
        relative: Floats = np.abs(missed, out=missed).max(axis=0) / self.scale
        ready = relative <= (ACCEPTED if lenient else TOLERANCE)
        if self.limited is not None:
            ready &= ~self.limited
        return ready, relative
