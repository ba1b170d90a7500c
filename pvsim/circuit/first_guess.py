"""Where the Newton steps of the tree solver begin: what the tables say of every junction."""

from __future__ import annotations

from functools import cached_property
from math import inf

import numpy as np
from numpy.typing import NDArray

from pvsim.circuit.floats import RUN, Floats, repeat_rows, room, slices
from pvsim.circuit.junctions import Laws
from pvsim.circuit.kernel import KernelStart
from pvsim.circuit.leaf import WIRE
from pvsim.circuit.mesh_table import MeshTable
from pvsim.circuit.register import Depth, Plan
from pvsim.circuit.tabulation import floor_below, table_of

_FEW = 100  # leaves: taking some of their laws would cost more than it spares


# From which leaf to before which, the row of points they share, and whether it holds currents.
_Piece = tuple[int, int, Floats, bool]


class Start:
    """Junction voltages near the solution, made column by column when asked for.

    Parameters
    ----------
    plan : Plan
    laws : Laws
        One row a leaf of the plan.
    V, I : (points,)
        Terminal points, as the table of the whole circuit has them.
    """

    def __init__(self, plan: Plan, laws: Laws, V: Floats, I: Floats) -> None:
        self._plan, self._laws = plan, laws
        self._pieces = _pieces(plan, V, I)
        self._shared = np.array([shared for _, _, shared, _ in self._pieces])

    @cached_property
    def _by_hand(self) -> _ByHand:
        return _ByHand(self._plan, self._laws, self._pieces)

    def for_kernel(self) -> KernelStart:
        """The same for the compiled kernel."""
        first = [first for first, _, _, _ in self._pieces]
        return KernelStart([*first, self._pieces[-1][1]], self._shared, _runs(self._pieces))

    def columns(self, block: slice | NDArray[np.intp]) -> Floats:
        """v of every junction at some points, shape (junctions, points)."""
        return self._by_hand.columns(self._shared[:, block])


class _ByHand:
    """The start as numpy makes it, of what the leaves of each piece share."""

    def __init__(self, plan: Plan, laws: Laws, pieces: list[_Piece]) -> None:
        self._laws = laws
        self._sign = np.array([leaf.sign for leaf in plan.leaves])[:, None]
        self._source = np.array([leaf.source_A for leaf in plan.leaves])[:, None]
        self._piece = np.repeat(np.arange(len(pieces)), [last - first for first, last, _, _ in pieces])
        self._by_voltage = np.array([not is_current for _, _, _, is_current in pieces])[self._piece, None]
        # Rows whose laws are inverted together, since their currents are known.
        runs = _runs(pieces)
        self._by_current = [(slice(*run), laws.pick(slice(*run))) for run in runs]
        if runs and len(self._piece) < _FEW:
            self._by_current = [(slice(None), laws)]

    def columns(self, shared: Floats) -> Floats:
        """v of every junction, (junctions, points), from what the pieces share, (pieces, points)."""
        points, size = shared.shape[1], max(RUN // len(self._piece), 1)
        if points <= 2 * size:
            return self._columns(shared)
        made = room(len(self._piece), points)
        for run in slices(0, points, size):
            made[:, run] = self._columns(shared[:, run])
        return made

    def _columns(self, shared: Floats) -> Floats:
        start = repeat_rows(shared, self._piece)
        for rows, laws in self._by_current:
            x = np.subtract(self._source[rows], start[rows])
            x *= self._sign[rows]
            v = laws.invert(x)
            if len(self._piece) < _FEW:  # those of known voltage with the others
                start = np.where(self._by_voltage, start, v)
            else:
                start[rows] = v
        np.maximum(start, self._laws.least_v, out=start)
        return np.minimum(start, self._laws.most_v, out=start)


def _runs(pieces: list[_Piece]) -> list[tuple[int, int]]:
    """From which leaf to before which their currents are known."""
    runs: list[tuple[int, int]] = []
    for first, last, _, is_current in pieces:
        if is_current and runs and runs[-1][1] == first:
            runs[-1] = (runs[-1][0], last)
        elif is_current:
            runs.append((first, last))
    return runs


def _pieces(plan: Plan, V: Floats, I: Floats) -> list[_Piece]:
    """Leaves that share what is known of them."""
    pieces: list[_Piece] = []
    first_leaf = 0
    # What each composite row carries: its V below a parallel part, its I below a series part.
    root = plan.depths[0]
    mesh = root.kinds[0] == "mesh"
    handed: list[tuple[Floats | None, Floats | None]] = [
        (V, None) if mesh else _carry(plan, root, 0, V, None, -inf)
    ]
    for k, depth in enumerate(plan.depths):
        if k == 1 and mesh:
            handed = _carry_to_branches(plan, V, I)
        elif k:
            above, from_above, handed = plan.depths[k - 1], handed, []
            floors = _floors(plan, k - 1)
            for parent, first, last in depth.families():
                V_up, I_up = from_above[parent]
                if above.kinds[parent] == "turned":
                    V_up = None if V_up is None else -V_up
                    I_up = None if I_up is None else -I_up
                if V_up is None and depth.all_leaves:
                    handed += [(None, I_up)] * (last - first)
                    continue
                floor_V = floors.get(parent, -inf)
                handed += [_carry(plan, depth, row, V_up, I_up, floor_V) for row in range(first, last)]
        for place, row in enumerate(depth.leaf_rows, start=first_leaf):
            V_here, I_here = handed[row]
            shared = I_here if V_here is None else V_here
            assert shared is not None
            if pieces and pieces[-1][2] is shared:
                pieces[-1] = (pieces[-1][0], place + 1, shared, V_here is None)
            else:
                pieces.append((place, place + 1, shared, V_here is None))
        first_leaf += len(depth.leaf_rows)
    return pieces


def _carry_to_branches(plan: Plan, V: Floats, I: Floats) -> list[tuple[Floats | None, Floats | None]]:
    """What the branches of a mesh hand to their children, of what the mesh's table says of them."""
    table = table_of(plan.register, plan.electric, plan.table_reach_A)
    assert isinstance(table, MeshTable)
    at_V, at_A = table.branches(V, I)
    depth = plan.depths[1]
    return [
        (None, at_A[row]) if kind == "series" else _carry(plan, depth, row, at_V[row], None, -inf)
        for row, kind in enumerate(depth.kinds)
    ]


def _floors(plan: Plan, k: int) -> dict[int, float]:
    """Above which voltage each parallel row of a depth keeps its children."""
    depth = plan.depths[k]
    rows = [row for row in depth.composite_rows if depth.kinds[row] == "parallel"]
    return {row: floor_below(plan.register, depth.numbers[row], plan.table_reach_A) for row in rows}


def _carry(
    plan: Plan, depth: Depth, row: int, V: Floats | None, I: Floats | None, floor_V: float
) -> tuple[Floats | None, Floats | None]:
    """What a row hands to its children, of what its parent handed to it."""
    kind, reach = depth.kinds[row], plan.table_reach_A
    if kind == "series" and I is None:
        assert V is not None
        return None, table_of(plan.register, depth.numbers[row], reach, floor_V).current(V)
    if kind == "parallel" and V is None:
        assert I is not None
        return table_of(plan.register, depth.numbers[row], reach).voltage(I), None
    if kind != "leaf":
        return V, I
    leaf, known = depth.leaves[depth.leaf_place[row]], I if V is None else V
    assert known is not None
    if leaf.junction is WIRE:
        return np.zeros_like(known), None
    if V is None:
        return V, I
    if leaf.resistance_ohm > 0.0:
        I = table_of(plan.register, depth.numbers[row], reach).current(V)
        V = V + leaf.resistance_ohm * np.minimum(np.maximum(I, -reach), reach)
    return leaf.sign * V, None
