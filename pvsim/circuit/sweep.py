"""One sweep up a circuit and one down it: where the tangents of all its leaves meet a line.

Tangents V = e - r I compose exactly (series: e and r add; parallel: 1/r and e/r add; the branches of
a mesh: see stars.py), in time proportional to the circuit's distinct parts.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from pvsim.circuit.floats import Floats
from pvsim.circuit.groups import Groups, as_run
from pvsim.circuit.junctions import Laws
from pvsim.circuit.register import Composite, Plan
from pvsim.circuit.stars import MeshGroup

_PATH_V = 0.6  # a silicon junction in the light


class Sweep:
    """A plan made ready: its leaves in order, and the groups through which tangents go up and down.

    Parameters
    ----------
    plan : Plan
        Of the whole circuit.
    """

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        leaves = plan.leaves
        self.laws = Laws([leaf.junction for leaf in leaves])
        self.sign = np.array([leaf.sign for leaf in leaves])[:, None]
        self.source = np.array([leaf.source_A for leaf in leaves])[:, None]
        self.ohms = np.array([leaf.resistance_ohm for leaf in leaves])[:, None]
        mirrored = np.flatnonzero(self.sign < 0.0)
        self.mirrored = as_run(mirrored) if mirrored.size else None
        first = np.cumsum([0] + [len(depth.leaves) for depth in plan.depths])
        self.leaf_slices = [slice(a, b) for a, b in pairwise(first)]
        root = plan.register.electric[plan.electric]
        self.groups: list[Groups | MeshGroup] = [Groups(plan, k) for k in range(len(plan.depths))]
        if isinstance(root, Composite) and root.kind == "mesh":
            self.groups[1] = MeshGroup(root.ends)
        self.least_v, self.most_v = self.laws.least_v, self.laws.most_v
        self.path_ohm = _PATH_V / max(root.most_source_A, 1.0)

    def meet(
        self, a: Floats, b: Floats, c: Floats, tangents: Floats
    ) -> tuple[Floats, Floats, Floats, Floats]:
        """V, I and -dV/dI at the terminals and the current of every leaf, where tangents meet a line."""
        depths, formed = self.plan.depths, self._up(tangents)
        e0, r0 = formed[0][:, 0]
        # a V + b I = c with V = e0 - r0 I
        I = (c - a * e0) / (b - a * r0)
        V = e0 - r0 * I
        np.divide(c, a, out=V, where=b == 0.0)
        leaf_I = np.empty_like(tangents[0])
        V_up: Floats = V[None]
        I_up: Floats = I[None]
        for k, depth in enumerate(depths):
            if k:
                here = leaf_I[self.leaf_slices[k]] if depth.all_leaves else None
                V_up, I_up = self.groups[k].down(V_up, I_up, formed[k], here)
            elif depth.all_leaves:
                leaf_I[:] = I_up
            if depth.leaf_rows and not depth.all_leaves:
                leaf_I[self.leaf_slices[k]] = I_up[depth.leaf_rows]
        return V, I, r0, leaf_I

    def slope_ohm(self, df: Floats) -> Floats:
        """-dV/dI at the terminals, the junctions having the slopes df."""
        slope: Floats = self._up((1.0 / df + self.ohms)[None])[0][0, 0]
        return slope

    def _up(self, tangents: Floats) -> list[Floats]:
        """The tangents of every row, depth by depth, in the form their parents sum.

        Parameters
        ----------
        tangents : (2 or 1, leaves, points)
            e and r of the leaves, or r alone; written over.
        """
        depths = self.plan.depths
        formed: list[Floats] = [tangents] * len(depths)
        rows = tangents
        for k in range(len(depths) - 1, -1, -1):
            depth, piece = depths[k], tangents[:, self.leaf_slices[k]]
            if depth.all_leaves:
                rows = piece
            elif depth.leaf_rows:
                sums, rows = rows, np.empty((len(tangents), len(depth.numbers), tangents.shape[2]))
                rows[:, depth.leaf_rows], rows[:, depth.composite_rows] = piece, sums
            formed[k] = rows
            if k:
                formed[k] = self.groups[k].form(rows)
                rows = self.groups[k].up(formed[k], depth.count_column)
        return formed
