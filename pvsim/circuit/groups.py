"""One depth of a plan as a step of the sweep: tangents up to the parents, currents down.

A tangent V = e - r I is a pair (e, r). Below a series part pairs add as they are, below a
parallel part as (e / r, 1 / r), below a turned one e changes its sign: the form a parent
sums. The first axis of every array of tangents holds e and r, or r alone.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pvsim.circuit.floats import Floats, repeat_rows
from pvsim.circuit.register import Plan

Rows = NDArray[np.intp] | slice


class Groups:
    """The children of one depth, grouped by their parent."""

    __slots__ = ("_all_parallel", "_group_parallel", "_parallel", "_parents", "_single", "_starts", "_turned")

    def __init__(self, plan: Plan, k: int) -> None:
        depth = plan.depths[k]
        above = plan.depths[k - 1].kinds if k else ["series"]
        parents = depth.parents if k else [0]
        kinds = [above[parent] for parent in parents]
        self._parents, self._starts = depth.parent_column, depth.group_starts
        self._single = len(self._starts) == len(kinds)
        self._parallel = _rows([row for row, kind in enumerate(kinds) if kind == "parallel"], len(kinds))
        self._turned = _rows([row for row, kind in enumerate(kinds) if kind == "turned"], len(kinds))
        self._all_parallel = isinstance(self._parallel, slice)
        groups = [above[parent] for parent in dict.fromkeys(parents)]
        side_by_side = [row for row, kind in enumerate(groups) if kind == "parallel"]
        self._group_parallel = _rows(side_by_side, len(groups))

    def form(self, tangents: Floats) -> Floats:
        """The tangents of the children, changed in place into the form their parents sum."""
        _invert(tangents, self._parallel)
        if self._turned is not None:
            tangents[:-1, self._turned] *= -1.0
        return tangents

    def up(self, formed: Floats, counts: Floats | None) -> Floats:
        """The tangents of the parents, new."""
        if counts is not None:
            formed = formed * counts
        if len(self._starts) == 1:
            formed = np.add.reduce(formed, axis=1, keepdims=True)
        elif not self._single:
            formed = np.add.reduceat(formed, self._starts, axis=1)
        elif counts is None:
            formed = formed.copy()
        _invert(formed, self._group_parallel)
        return formed

    def down(
        self, V_up: Floats, I_up: Floats, formed: Floats, leaf_I: Floats | None
    ) -> tuple[Floats, Floats]:
        """V and I of the children from those of their parents.

        Where all children are leaves their currents are written into leaf_I, and V is left out.
        """
        e, r = formed
        if self._all_parallel:
            V = V_up if len(V_up) == 1 else V_up[self._parents]
            I = np.multiply(V, r, out=leaf_I)
            return np.broadcast_to(V, e.shape), np.subtract(e, I, out=I)
        I = I_up[self._parents] if leaf_I is None else repeat_rows(I_up, self._parents, leaf_I)
        if self._turned is not None:
            I[self._turned] *= -1.0
        if leaf_I is not None and self._parallel is None:
            return I, I
        V = e - r * I
        for rows, sign in ((self._parallel, 1.0), (self._turned, -1.0)):
            if rows is not None:
                V[rows] = sign * V_up[self._parents[rows]]
        if self._parallel is not None:
            rows = self._parallel
            I[rows] = e[rows] - V[rows] * r[rows]
        return V, I


def _rows(numbers: list[int], of: int) -> Rows | None:
    """Rows to take: None for none, the slice of all for all."""
    if not numbers:
        return None
    return slice(None) if len(numbers) == of else np.array(numbers, dtype=np.intp)


def as_run(rows: NDArray[np.intp]) -> Rows:
    """Some rows to take, one or more: as a slice where each is the next one of the last."""
    first, last = int(rows[0]), int(rows[-1])
    is_run = last - first + 1 == len(rows) and bool((rows[1:] > rows[:-1]).all())
    return slice(first, last + 1) if is_run else rows


def _invert(tangents: Floats, rows: Rows | None) -> None:
    """(e, r) into (e / r, 1 / r), or back, in place."""
    if rows is None:
        return
    inverse = 1.0 / tangents[-1, rows]
    tangents[-1, rows] = inverse
    tangents[:-1, rows] *= inverse
