"""The fast solver: Newton on a whole series-parallel circuit, many points at once.

At every step each leaf is replaced by its tangent V = e - r I. Tangents compose exactly
(series: e and r add; parallel: 1/r and e/r add), so one sweep up and one sweep down the
tree is one full Newton step of the whole circuit, in time proportional to its distinct
parts. Kirchhoff's laws then hold to rounding, and what is left is by how much a leaf's
own law is missed: the residual.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvsim.circuit.law import TABLE_REACH_A, Laws
from pvsim.circuit.part import Depth, Plan
from pvsim.circuit.solution import Floats
from pvsim.circuit.table import table_of
from pvsim.errors import ConvergenceError

TOLERANCE = 1e-10  # relative residual aimed at
ACCEPTED = 1e-9  # relative residual that still counts as solved: the stated bound
MOST_STEPS = 120
BLOCK = 24_000  # leaves times points handled at once
_OUTWARD_STEP = 0.5  # in units of the thermal voltage: beyond it a tangent misleads


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
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
    leaf_voltage_V, leaf_current_A : (leaves, points)
        Of every distinct leaf, in the order of the plan.
    residual : float
        Largest missed current over the largest current of the circuit (at least 1 A).
    """

    voltage_V: Floats
    current_A: Floats
    slope_ohm: Floats
    junction_V: Floats
    leaf_voltage_V: Floats
    leaf_current_A: Floats
    residual: float
    iterations: int


class TreeSolver:
    """A plan made ready for Newton steps."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        leaves = plan.leaves
        self.rows = np.array(plan.junction_rows, dtype=np.intp)
        junctions = [leaf.junction for leaf in leaves if leaf.junction is not None]
        self.laws = Laws(junctions) if junctions else None
        sign = np.array([leaf.sign for leaf in leaves])[:, None]
        source = np.array([leaf.source_A for leaf in leaves])[:, None]
        self.ohms = np.array([leaf.resistance_ohm for leaf in leaves])[:, None]
        self.sign, self.source = sign[self.rows], source[self.rows]
        self.series_ohms = self.ohms[self.rows]
        self.all_junctions = len(junctions) == len(leaves)
        first = np.cumsum([0] + [len(depth.leaves) for depth in plan.depths])
        self.leaf_slices = [slice(a, b) for a, b in zip(first[:-1], first[1:], strict=True)]
        self.groups = [_groups(plan, k) for k in range(len(plan.depths))]
        if self.laws is not None:
            reach = np.full((len(junctions), 1), TABLE_REACH_A)
            self.most_v, self.least_v = self.laws.invert(reach), self.laws.invert(-reach)

    def start(self, V: Floats, I: Floats) -> Start:
        """A start near the solution, from the tables, at terminal points (V, I)."""
        plan = self.plan
        pieces: list[tuple[int, int, Floats, bool]] = []
        # What each row carries: its V below a parallel part, its I below a series part.
        carried = [self._carry(plan.depths[0], 0, V, None)]
        for k, depth in enumerate(plan.depths):
            if k:
                above, carried_above, carried = plan.depths[k - 1], carried, []
                for row, parent in enumerate(depth.parents):
                    V_up, I_up = carried_above[parent]
                    if above.kinds[parent] == "turned":
                        V_up = None if V_up is None else -V_up
                        I_up = None if I_up is None else -I_up
                    carried.append(self._carry(depth, row, V_up, I_up))
            for place, row in enumerate(depth.leaf_rows, start=self.leaf_slices[k].start):
                V_here, I_here = carried[row]
                shared = I_here if V_here is None else V_here
                assert shared is not None
                if pieces and pieces[-1][2] is shared:
                    pieces[-1] = (pieces[-1][0], place + 1, shared, V_here is None)
                else:
                    pieces.append((place, place + 1, shared, V_here is None))
        return Start(self, pieces)

    def _carry(self, depth: Depth, row: int, V: Floats | None, I: Floats | None) -> tuple[Floats | None, Floats | None]:
        """What a row hands to its children, of what its parent handed to it."""
        kind, reach = depth.kinds[row], self.plan.table_reach_A
        if kind == "series" and I is None:
            assert V is not None
            return None, table_of(self.plan.register, depth.numbers[row], reach).current(V)
        if kind == "parallel" and V is None:
            assert I is not None
            return table_of(self.plan.register, depth.numbers[row], reach).voltage(I), None
        if kind == "leaf" and V is not None:
            leaf = depth.leaves[depth.leaf_place[row]]
            if leaf.junction is not None and leaf.resistance_ohm > 0.0:
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
        v_now, target, scale = v, None, np.ones(points)
        worst = 0.0
        for step in range(1, MOST_STEPS + 1):
            f, df = self.laws.evaluate(v_now) if self.laws is not None else (v_now, v_now)
            if target is not None:
                missed = np.abs(f - target.x)
                relative = np.max(missed, axis=0, initial=0.0) / scale
                relative[target.limited] = np.inf
                ready = (relative <= TOLERANCE) | ((step > 12) & (relative <= ACCEPTED))
                if ready.all():
                    worst = max(worst, float(relative.max(initial=0.0)))
                    done = self._store(done, target, v_now, todo, points)
                    return self._states(done, worst, step - 1)
                if ready.sum() * 2 >= len(ready):
                    worst = max(worst, float(relative[ready].max(initial=0.0)))
                    done = self._store(done, target, v_now, todo, points, ready)
                    left = np.flatnonzero(~ready)
                    todo = left if todo is None else todo[left]
                    a, b, c, f, df, v_now = a[left], b[left], c[left], f[:, left], df[:, left], v_now[:, left]
            target = self._step(a, b, c, v_now, f, df)
            scale = np.maximum(np.max(np.abs(target.x), axis=0, initial=0.0), 1.0)
            v_now = self._advance(v_now, f, target)
        missing = points if todo is None else len(todo)
        raise ConvergenceError(
            f"{missing} of {points} points did not settle in {MOST_STEPS} Newton steps",
            expected=f"a relative residual of at most {ACCEPTED:g}",
            mend="Report the circuit; as a way round change an extreme resistance or temperature a little",
        )

    def _step(self, a: Floats, b: Floats, c: Floats, v: Floats, f: Floats, df: Floats) -> _Target:
        """One full Newton step: tangents up the tree, the terminal line, currents down."""
        plan, points = self.plan, len(c)
        if self.laws is None:
            e = np.zeros((len(plan.leaves), points))
            r = np.broadcast_to(self.ohms, e.shape)
        elif self.all_junctions:
            inner = 1.0 / df
            e = self.sign * v + (self.source - self.sign * f) * inner
            r = inner + self.series_ohms
        else:
            e = np.zeros((len(plan.leaves), points))
            r = np.empty_like(e)
            r[:] = self.ohms
            inner = 1.0 / df
            e[self.rows] = self.sign * v + (self.source - self.sign * f) * inner
            r[self.rows] += inner
        return self._sweep(a, b, c, v, f, df, e, r)

    def _sweep(
        self, a: Floats, b: Floats, c: Floats, v: Floats, f: Floats, df: Floats, e: Floats, r: Floats
    ) -> _Target:
        depths, points = self.plan.depths, len(c)
        E: list[Floats] = [e] * len(depths)
        R: list[Floats] = [r] * len(depths)
        sums: tuple[Floats, Floats] | None = None
        for k in range(len(depths) - 1, -1, -1):
            depth, piece = depths[k], self.leaf_slices[k]
            if depth.all_leaves:
                E[k], R[k] = e[piece], r[piece]
            else:
                E[k], R[k] = np.empty((len(depth.numbers), points)), np.empty((len(depth.numbers), points))
                if depth.leaf_rows:
                    E[k][depth.leaf_rows], R[k][depth.leaf_rows] = e[piece], r[piece]
                assert sums is not None
                E[k][depth.composite_rows], R[k][depth.composite_rows] = sums
            if k:
                sums = self.groups[k].up(E[k], R[k], depth.count_column)
        e0, r0 = E[0][0], R[0][0]
        # a V + b I = c with V = e0 - r0 I
        I = (c - a * e0) / (b - a * r0)
        V = np.where(b == 0.0, c / np.where(a == 0.0, 1.0, a), e0 - r0 * I)
        leaf_V, leaf_I = np.empty_like(e), np.empty_like(e)
        V_up, I_up = V[None], I[None]
        for k, depth in enumerate(depths):
            if k:
                V_up, I_up = self.groups[k].down(V_up, I_up, E[k], R[k])
            piece = self.leaf_slices[k]
            if depth.all_leaves:
                leaf_V[piece], leaf_I[piece] = V_up, I_up
            elif depth.leaf_rows:
                leaf_V[piece], leaf_I[piece] = V_up[depth.leaf_rows], I_up[depth.leaf_rows]
        if self.laws is None:
            x, v_next = np.empty((0, points)), np.empty((0, points))
        else:
            junction_I = leaf_I if self.all_junctions else leaf_I[self.rows]
            x = self.sign * (self.source - junction_I)
            v_next = v + (x - f) / df
        return _Target(V, I, r0, leaf_V, leaf_I, x, v_next, np.zeros(points, dtype=bool))

    def _advance(self, v: Floats, f: Floats, target: _Target) -> Floats:
        """The next junction voltages: along the tangent, or along the law where it bends away."""
        laws, v_next = self.laws, target.v
        if laws is None:
            return v_next
        change = v_next - v
        far = np.abs(change) > _OUTWARD_STEP * laws.a1
        if not far.any():
            return v_next
        # Outward into the exponential, or inward past a sign change: follow the current.
        by_current = far & ((change * v_next > 0.0) | (target.x * f < 0.0))
        v_next = np.clip(v_next, self.least_v, self.most_v)
        rows, columns = np.nonzero(by_current)
        if len(rows):
            v_next[rows, columns] = laws.pick(rows).invert(target.x[rows, columns][:, None])[:, 0]
        target.limited[np.any(far, axis=0)] = True
        return v_next

    def _store(
        self,
        done: States | None,
        target: _Target,
        v: Floats,
        todo: NDArray[np.intp] | None,
        points: int,
        ready: NDArray[np.bool_] | None = None,
    ) -> States:
        if done is None and ready is None and todo is None:
            return States(
                voltage_V=target.V, current_A=target.I, slope_ohm=target.r, junction_V=v,
                leaf_voltage_V=target.leaf_V, leaf_current_A=target.leaf_I, residual=0.0, iterations=0,
            )
        if done is None:
            leaves = len(self.plan.leaves)
            done = States(
                voltage_V=np.empty(points), current_A=np.empty(points), slope_ohm=np.empty(points),
                junction_V=np.empty((len(v), points)), leaf_voltage_V=np.empty((leaves, points)),
                leaf_current_A=np.empty((leaves, points)), residual=0.0, iterations=0,
            )
        here = np.arange(points) if todo is None else todo
        pick = slice(None) if ready is None else ready
        to = here[pick]
        done.voltage_V[to], done.current_A[to], done.slope_ohm[to] = target.V[pick], target.I[pick], target.r[pick]
        done.junction_V[:, to] = v[:, pick]
        done.leaf_voltage_V[:, to], done.leaf_current_A[:, to] = target.leaf_V[:, pick], target.leaf_I[:, pick]
        return done

    @staticmethod
    def _states(done: States, residual: float, iterations: int) -> States:
        return States(
            voltage_V=done.voltage_V, current_A=done.current_A, slope_ohm=done.slope_ohm,
            junction_V=done.junction_V, leaf_voltage_V=done.leaf_voltage_V, leaf_current_A=done.leaf_current_A,
            residual=residual, iterations=iterations,
        )


class Start:
    """Junction voltages to begin from, made column by column when asked for."""

    __slots__ = ("_by_current", "_pieces", "_solver")

    def __init__(self, solver: TreeSolver, pieces: list[tuple[int, int, Floats, bool]]) -> None:
        self._solver, self._pieces = solver, pieces
        by_current = np.zeros(len(solver.plan.leaves), dtype=bool)
        for first, last, _, is_current in pieces:
            by_current[first:last] = is_current
        self._by_current = np.flatnonzero(by_current[solver.rows])

    def columns(self, block: slice) -> Floats:
        """v of every junction at a block of points, shape (junctions, block)."""
        solver, rows = self._solver, self._by_current
        start = np.empty((len(solver.plan.leaves), len(self._pieces[0][2][block])))
        for first, last, shared, _ in self._pieces:
            start[first:last] = shared[block]
        if not solver.all_junctions:
            start = start[solver.rows]
        if solver.laws is None:
            return start
        if len(rows) == len(start):
            start = solver.laws.invert(solver.sign * (solver.source - start))
        elif len(rows):
            x = solver.sign[rows] * (solver.source[rows] - start[rows])
            start[rows] = solver.laws.pick(rows).invert(x)
        return np.clip(start, solver.least_v, solver.most_v)


def _join(blocks: list[States]) -> States:
    def together(name: str) -> Floats:
        return np.concatenate([getattr(block, name) for block in blocks], axis=-1)

    return States(
        voltage_V=together("voltage_V"),
        current_A=together("current_A"),
        slope_ohm=together("slope_ohm"),
        junction_V=together("junction_V"),
        leaf_voltage_V=together("leaf_voltage_V"),
        leaf_current_A=together("leaf_current_A"),
        residual=max(block.residual for block in blocks),
        iterations=max(block.iterations for block in blocks),
    )


@dataclass(slots=True)
class _Target:
    """Where one Newton step points: terminals, leaves, and the junctions' x and v."""

    V: Floats
    I: Floats
    r: Floats
    leaf_V: Floats
    leaf_I: Floats
    x: Floats
    v: Floats
    limited: NDArray[np.bool_]


class _Groups:
    """The children of one depth, grouped by their parent's kind."""

    __slots__ = ("kinds", "parallel", "parents", "starts", "turned")

    def __init__(self, kinds: NDArray[np.str_], parents: NDArray[np.intp], starts: NDArray[np.intp]) -> None:
        self.parents, self.starts = parents, starts
        self.kinds = kinds  # of each group
        sizes = np.diff(np.append(starts, len(parents)))
        self.parallel = np.repeat(kinds == "parallel", sizes)
        self.turned = np.repeat(kinds == "turned", sizes)

    def up(self, E: Floats, R: Floats, counts: Floats | None) -> tuple[Floats, Floats]:
        """e and r of the parents."""
        some_parallel, some_turned = self.parallel.any(), self.turned.any()
        if some_parallel:
            wide = self.parallel[:, None] & np.ones_like(E, dtype=bool) if not self.parallel.all() else None
            inverse = 1.0 / R if wide is None else np.divide(1.0, R, out=R.copy(), where=wide)
            E = E * inverse if wide is None else np.multiply(E, inverse, out=E.copy(), where=wide)
            R = inverse
        if counts is not None:
            E, R = E * counts, R * counts
        if some_turned:
            E = np.where(self.turned[:, None], -E, E)
        if len(self.starts) == len(self.parents):
            e, r = E.copy(), R.copy()
        else:
            e, r = np.add.reduceat(E, self.starts, axis=0), np.add.reduceat(R, self.starts, axis=0)
        if some_parallel:
            groups = self.kinds == "parallel"
            r[groups] = 1.0 / r[groups]
            e[groups] *= r[groups]
        return e, r

    def down(self, V_up: Floats, I_up: Floats, E: Floats, R: Floats) -> tuple[Floats, Floats]:
        """V and I of the children from those of their parents."""
        one = len(V_up) == 1
        I = np.broadcast_to(I_up, E.shape) if one else I_up[self.parents]
        if self.turned.any():
            I = np.where(self.turned[:, None], -I, I)
        if not self.parallel.any():
            return E - R * I, I
        V_parent = np.broadcast_to(V_up, E.shape) if one else V_up[self.parents]
        if self.parallel.all():
            return V_parent, (E - V_parent) / R
        side = self.parallel[:, None]
        return np.where(side, V_parent, E - R * I), np.where(side, (E - V_parent) / R, I)


def _groups(plan: Plan, k: int) -> _Groups:
    depth = plan.depths[k]
    if k == 0:
        return _Groups(np.array(["series"]), np.array([0]), np.array([0]))
    kinds = np.array([plan.depths[k - 1].kinds[parent] for parent in depth.group_parents])
    return _Groups(kinds, depth.parent_column, depth.group_starts)

