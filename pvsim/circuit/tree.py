"""The fast solver: Newton on a whole series-parallel circuit, many points at once.

At every step each leaf is replaced by its tangent V = e - r I. Tangents compose exactly
(series: e and r add; parallel: 1/r and e/r add), so one sweep up and one sweep down the
tree is one full Newton step of the whole circuit, in time proportional to its distinct
parts. Kirchhoff's laws then hold to rounding, and what is left is by how much a leaf's
own law is missed: the residual.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from math import inf

import numpy as np
from numpy.typing import NDArray

from pvsim.circuit.law import WIRE
from pvsim.circuit.laws import Laws
from pvsim.circuit.part import Depth, Plan
from pvsim.circuit.solution import Floats
from pvsim.circuit.table import floor_below, table_of
from pvsim.errors import CircuitError, ConvergenceError

TOLERANCE = 1e-10  # relative residual aimed at
ACCEPTED = 1e-9  # relative residual that still counts as solved: the stated bound
MOST_STEPS = 120
MOST_CURRENT_A = 1e5  # beyond it nothing here is a model of anything
_PATIENCE = 12  # steps after which ACCEPTED will do
BLOCK = 64_000  # leaves times points handled at once
_PATH_V = 0.6  # a silicon junction in the light
_OUTWARD_STEP = 0.5  # in units of the thermal voltage: beyond it a tangent misleads


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
        Generator current of every distinct leaf, in the order of the plan.
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


class TreeSolver:
    """A plan made ready for Newton steps."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        leaves = plan.leaves
        self.laws = Laws([leaf.junction for leaf in leaves])
        self.sign = np.array([leaf.sign for leaf in leaves])[:, None]
        self.source = np.array([leaf.source_A for leaf in leaves])[:, None]
        self.ohms = np.array([leaf.resistance_ohm for leaf in leaves])[:, None]
        self.any_mirrored = bool((self.sign < 0.0).any())
        first = np.cumsum([0] + [len(depth.leaves) for depth in plan.depths])
        self.leaf_slices = [slice(a, b) for a, b in pairwise(first)]
        self.groups = [_Groups(plan, k) for k in range(len(plan.depths))]
        self.least_v, self.most_v = self.laws.least_v, self.laws.most_v
        most_A = plan.register.electric[plan.electric].most_source_A
        self.path_ohm = _PATH_V / max(most_A, 1.0)
        self.far = _OUTWARD_STEP * self.laws.a1

    def start(self, V: Floats, I: Floats) -> Start:
        """A start near the solution, from the tables, at terminal points (V, I)."""
        plan = self.plan
        pieces: list[tuple[int, int, Floats, bool]] = []
        # What each row carries: its V below a parallel part, its I below a series part.
        carried = [self._carry(plan.depths[0], 0, V, None, -inf)]
        for k, depth in enumerate(plan.depths):
            if k:
                above, carried_above, carried = plan.depths[k - 1], carried, []
                floors = self._floors(k - 1)
                for row, parent in enumerate(depth.parents):
                    V_up, I_up = carried_above[parent]
                    if above.kinds[parent] == "turned":
                        V_up = None if V_up is None else -V_up
                        I_up = None if I_up is None else -I_up
                    carried.append(self._carry(depth, row, V_up, I_up, floors.get(parent, -inf)))
            for place, row in enumerate(depth.leaf_rows, start=self.leaf_slices[k].start):
                V_here, I_here = carried[row]
                shared = I_here if V_here is None else V_here
                assert shared is not None
                if pieces and pieces[-1][2] is shared:
                    pieces[-1] = (pieces[-1][0], place + 1, shared, V_here is None)
                else:
                    pieces.append((place, place + 1, shared, V_here is None))
        return Start(self, pieces)

    def _floors(self, k: int) -> dict[int, float]:
        """Above which voltage each parallel row of a depth keeps its children."""
        depth, plan = self.plan.depths[k], self.plan
        rows = [row for row in depth.composite_rows if depth.kinds[row] == "parallel"]
        return {row: floor_below(plan.register, depth.numbers[row], plan.table_reach_A) for row in rows}

    def _carry(
        self, depth: Depth, row: int, V: Floats | None, I: Floats | None, floor_V: float
    ) -> tuple[Floats | None, Floats | None]:
        """What a row hands to its children, of what its parent handed to it."""
        kind, reach = depth.kinds[row], self.plan.table_reach_A
        if kind == "series" and I is None:
            assert V is not None
            return None, table_of(self.plan.register, depth.numbers[row], reach, floor_V).current(V)
        if kind == "parallel" and V is None:
            assert I is not None
            return table_of(self.plan.register, depth.numbers[row], reach).voltage(I), None
        if kind == "leaf" and V is not None:
            leaf = depth.leaves[depth.leaf_place[row]]
            if leaf.junction is WIRE:
                return 0.0 * V, None
            if leaf.resistance_ohm > 0.0:
                I = np.clip(table_of(self.plan.register, depth.numbers[row], reach).current(V), -reach, reach)
                return leaf.sign * (V + I * leaf.resistance_ohm), None
            return leaf.sign * V, None
        return V, I

    def solve(self, a: Floats, b: Floats, c: Floats, start: Start | Floats) -> States:
        """All points with a V + b I = c at the terminals.

        Parameters
        ----------
        a, b, c : (points,)
            The line each point lies on.
        start : Start or (junctions, points)
            Where to begin.

        Returns
        -------
        States

        Raises
        ------
        ConvergenceError
            If a point does not reach ACCEPTED within MOST_STEPS.
        """
        # In blocks that fit a processor's cache: four times faster than all at once.
        size = max(BLOCK // max(len(self.plan.leaves), 1), 8)
        blocks = []
        for first in range(0, len(c), size):
            block = slice(first, first + size)
            v = start.columns(block) if isinstance(start, Start) else start[:, block]
            blocks.append(self._solve(a[block], b[block], c[block], v))
        return blocks[0] if len(blocks) == 1 else _join(blocks)

    def _solve(self, a: Floats, b: Floats, c: Floats, v: Floats) -> States:
        points = len(c)
        todo: NDArray[np.intp] | None = None  # None: all points
        done: States | None = None
        target: _Target | None = None
        worst = 0.0
        for step in range(1, MOST_STEPS + 1):
            f, df = self.laws.evaluate(v)
            if target is not None:
                ready, relative = target.settled(f, step > _PATIENCE)
                if ready.all():
                    worst = max(worst, float(relative.max(initial=0.0)))
                    target.r = self._slope_ohm(df)
                    done = self._store(done, target, v, todo, points, None)
                    return replace(done, residual=worst, iterations=step - 1)
                if ready.sum() * 2 >= len(ready):
                    worst = max(worst, float(relative[ready].max(initial=0.0)))
                    # The tangents of the step before are those of the last but one voltage.
                    target.r = self._slope_ohm(df)
                    done = self._store(done, target, v, todo, points, ready)
                    left = np.flatnonzero(~ready)
                    todo = left if todo is None else todo[left]
                    a, b, c, f, df, v = a[left], b[left], c[left], f[:, left], df[:, left], v[:, left]
            target, v = self._step(a, b, c, v, f, df)
        most = 0.0 if target is None else float(np.abs(target.x).max())
        if most > MOST_CURRENT_A:
            raise CircuitError(
                f"at an operating point asked for an element would carry {most:.2g} A",
                expected=f"a point that drives no element beyond {MOST_CURRENT_A:g} A",
                mend="Choose a voltage nearer to the open-circuit voltage, or give the current instead",
            )
        raise ConvergenceError(
            f"{len(c)} of {points} points did not settle in {MOST_STEPS} Newton steps",
            expected=f"a relative residual of at most {ACCEPTED:g}",
            mend="Change an extreme resistance, temperature or voltage a little",
        )

    def _step(
        self, a: Floats, b: Floats, c: Floats, v: Floats, f: Floats, df: Floats
    ) -> tuple[_Target, Floats]:
        """One full Newton step: tangents up the tree, the terminal line, currents down."""
        np.reciprocal(df, out=df)
        # V = e - r I, tangent at v: e = sign (v - f / f') + source / f', r = 1 / f' + Rs
        e = f * df
        np.subtract(v, e, out=e)
        if self.any_mirrored:
            e *= self.sign
        e += self.source * df
        V, I, r0, leaf_I = self._sweep(a, b, c, e, df + self.ohms)
        x = self.source - leaf_I
        if self.any_mirrored:
            x *= self.sign
        change = np.subtract(x, f, out=f)
        change *= df
        v_next = change + v
        np.abs(change, out=change)
        scale = np.maximum(np.maximum(x.max(axis=0), -x.min(axis=0)), 1.0)
        target = _Target(V, I, r0, leaf_I, x, v_next, scale, None)
        # Rows rarely move far: ask each row's extremes first.
        outside = (v_next.min(axis=1, keepdims=True) < self.least_v).any()
        if outside or (change.max(axis=1, keepdims=True) > self.far).any():
            far = (change > self.far) | (v_next < self.least_v)
            v_next, target.limited = self._limit(v_next.copy(), x, far)
        return target, v_next

    def _limit(self, v_next: Floats, x: Floats, far: NDArray[np.bool_]) -> tuple[Floats, NDArray[np.bool_]]:
        """Where the tangent misleads, meet the law where v + r x is what the tangent says.

        A Newton step in v + r x, in which voltage and current both bend gently, however
        steep or flat the law; r only chooses the path to the solution.
        """
        rows, columns = np.nonzero(far)
        there = (v_next[rows, columns] + self.path_ohm * x[rows, columns])[:, None]
        v_next[rows, columns] = self.laws.pick(rows).meet(there, self.path_ohm)[:, 0]
        limited: NDArray[np.bool_] = np.any(far, axis=0)
        return v_next, limited

    def _up(self, e: Floats, r: Floats) -> tuple[list[Floats], list[Floats]]:
        """e and r of every row, depth by depth, from those of the leaves."""
        depths, points = self.plan.depths, e.shape[1]
        E: list[Floats] = [e] * len(depths)
        R: list[Floats] = [r] * len(depths)
        sums: tuple[Floats, Floats] | None = None
        for k in range(len(depths) - 1, -1, -1):
            depth, piece = depths[k], self.leaf_slices[k]
            if depth.all_leaves:
                E[k], R[k] = e[piece], r[piece]
            elif not depth.leaf_rows:
                assert sums is not None
                E[k], R[k] = sums
            else:
                assert sums is not None
                E[k], R[k] = np.empty((len(depth.numbers), points)), np.empty((len(depth.numbers), points))
                E[k][depth.leaf_rows], R[k][depth.leaf_rows] = e[piece], r[piece]
                E[k][depth.composite_rows], R[k][depth.composite_rows] = sums
            if k:
                sums = self.groups[k].up(E[k], R[k], depth.count_column)
        return E, R

    def _slope_ohm(self, df: Floats) -> Floats:
        """-dV/dI at the terminals, the junctions having the slopes df."""
        r = 1.0 / df + self.ohms
        slope: Floats = self._up(r, r)[1][0][0]
        return slope

    def _sweep(
        self, a: Floats, b: Floats, c: Floats, e: Floats, r: Floats
    ) -> tuple[Floats, Floats, Floats, Floats]:
        depths, (E, R) = self.plan.depths, self._up(e, r)
        e0, r0 = E[0][0], R[0][0]
        # a V + b I = c with V = e0 - r0 I
        I = (c - a * e0) / (b - a * r0)
        V = np.where(b == 0.0, c / np.where(a == 0.0, 1.0, a), e0 - r0 * I)
        leaf_I = np.empty_like(e)
        V_up: Floats = V[None]
        I_up: Floats = I[None]
        for k, depth in enumerate(depths):
            if k:
                V_up, I_up = self.groups[k].down(V_up, I_up, E[k], R[k], depth.all_leaves)
            if depth.all_leaves:
                leaf_I[self.leaf_slices[k]] = I_up
            elif depth.leaf_rows:
                leaf_I[self.leaf_slices[k]] = I_up[depth.leaf_rows]
        return V, I, r0, leaf_I

    @staticmethod
    def _store(
        done: States | None,
        target: _Target,
        v: Floats,
        todo: NDArray[np.intp] | None,
        points: int,
        ready: NDArray[np.bool_] | None,
    ) -> States:
        if done is None:
            if ready is None and todo is None:
                return States(target.V, target.I, target.r, v, target.leaf_I, 0.0, 0)
            done = States(
                np.empty(points), np.empty(points), np.empty(points),
                np.empty((len(v), points)), np.empty((len(v), points)), 0.0, 0,
            )  # fmt: skip
        here = np.arange(points) if todo is None else todo
        pick = slice(None) if ready is None else ready
        to = here[pick]
        done.voltage_V[to], done.current_A[to], done.slope_ohm[to] = (
            target.V[pick],
            target.I[pick],
            target.r[pick],
        )
        done.junction_V[:, to], done.leaf_current_A[:, to] = v[:, pick], target.leaf_I[:, pick]
        return done


class Start:
    """Junction voltages to begin from, made column by column when asked for."""

    __slots__ = ("_by_current", "_pieces", "_solver")

    def __init__(self, solver: TreeSolver, pieces: list[tuple[int, int, Floats, bool]]) -> None:
        self._solver, self._pieces = solver, pieces
        by_current = np.zeros(len(solver.plan.leaves), dtype=bool)
        for first, last, _, is_current in pieces:
            by_current[first:last] = is_current
        self._by_current = np.flatnonzero(by_current)

    def columns(self, block: slice) -> Floats:
        """v of every junction at a block of points, shape (junctions, block)."""
        solver, rows = self._solver, self._by_current
        start = np.empty((len(solver.plan.leaves), len(self._pieces[0][2][block])))
        for first, last, shared, _ in self._pieces:
            start[first:last] = shared[block]
        if len(rows) == len(start):
            start = solver.laws.invert(solver.sign * (solver.source - start))
        elif len(rows):
            x = solver.sign[rows] * (solver.source[rows] - start[rows])
            start[rows] = solver.laws.pick(rows).invert(x)
        return np.clip(start, solver.least_v, solver.most_v)


def _join(blocks: list[States]) -> States:
    together = {
        name: np.concatenate([getattr(block, name) for block in blocks], axis=-1)
        for name in ("voltage_V", "current_A", "slope_ohm", "junction_V", "leaf_current_A")
    }
    return States(
        **together,
        residual=max(block.residual for block in blocks),
        iterations=max(block.iterations for block in blocks),
    )


@dataclass(slots=True)
class _Target:
    """Where one Newton step points: terminals, leaf currents, junction currents."""

    V: Floats
    I: Floats
    r: Floats
    leaf_I: Floats
    x: Floats
    v: Floats
    scale: Floats
    limited: NDArray[np.bool_] | None  # points whose next v is not the tangent's

    def settled(self, f: Floats, lenient: bool) -> tuple[NDArray[np.bool_], Floats]:
        """Which points are solved, f being the law at the next v, and by how much each misses."""
        relative = np.abs(f - self.x).max(axis=0) / self.scale
        ready = relative <= (ACCEPTED if lenient else TOLERANCE)
        if self.limited is not None:
            ready &= ~self.limited
        return ready, relative


class _Groups:
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
