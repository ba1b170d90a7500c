"""One depth of a plan as a step of the sweep: tangents up to the parents, currents down."""

from __future__ import annotations

import numpy as np

from pvsim.circuit.part import Plan
from pvsim.circuit.solution import Floats


class Groups:
    """The children of one depth, grouped by their parent."""

    __slots__ = (
        "_all_parallel",
        "_any_turned",
        "_group_parallel",
        "_parallel",
        "_parents",
        "_starts",
        "_turned",
    )

    def __init__(self, plan: Plan, k: int) -> None:
        depth = plan.depths[k]
        kinds = np.array(
            [plan.depths[k - 1].kinds[parent] for parent in depth.group_parents] if k else ["series"]
        )
        self._parents, self._starts = depth.parent_column, depth.group_starts
        sizes = np.diff(np.append(self._starts, len(self._parents)))
        self._group_parallel = np.flatnonzero(kinds == "parallel")
        self._parallel = np.flatnonzero(np.repeat(kinds == "parallel", sizes))
        self._turned = np.flatnonzero(np.repeat(kinds == "turned", sizes))
        self._all_parallel = len(self._parallel) == len(self._parents)
        self._any_turned = len(self._turned) > 0

    def up(self, E: Floats, R: Floats, counts: Floats | None) -> tuple[Floats, Floats]:
        """e and r of the parents."""
        if self._all_parallel:
            R = 1.0 / R
            E = E * R
        elif len(self._parallel) or self._any_turned:
            E, R = E.copy(), R.copy()
            R[self._parallel] = 1.0 / R[self._parallel]
            E[self._parallel] *= R[self._parallel]
            E[self._turned] *= -1.0
        if counts is not None:
            E, R = E * counts, R * counts
        if len(self._starts) < len(self._parents):
            E, R = np.add.reduceat(E, self._starts, axis=0), np.add.reduceat(R, self._starts, axis=0)
        elif counts is None and not self._any_turned and not len(self._parallel):
            return E, R
        if self._all_parallel:
            R = 1.0 / R
            return E * R, R
        groups = self._group_parallel
        if len(groups):
            R[groups] = 1.0 / R[groups]
            E[groups] *= R[groups]
        return E, R

    def down(
        self, V_up: Floats, I_up: Floats, E: Floats, R: Floats, only_current: bool
    ) -> tuple[Floats, Floats]:
        """V and I of the children from those of their parents; V is left out where none asks."""
        one = len(V_up) == 1
        if self._all_parallel:
            V = np.broadcast_to(V_up, E.shape) if one else V_up[self._parents]
            return V, (E - V) / R
        I = np.repeat(I_up, len(E), axis=0) if one else I_up[self._parents]
        if self._any_turned:
            I[self._turned] *= -1.0
        if only_current and not len(self._parallel):
            return I, I
        V = E - R * I
        rows = self._parallel
        if len(rows):
            V[rows] = V_up[self._parents[rows]]
            I[rows] = (E[rows] - V[rows]) / R[rows]
        return V, I
