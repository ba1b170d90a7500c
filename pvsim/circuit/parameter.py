"""Every branch of a mesh as a curve (I(s), V(s)) in a parameter of its own.

In s both coordinates are gentle: with s = v + r x a junction's law x = f(v) bends once
from voltage to current instead of growing exponentially, and an open branch and a
bridge are straight lines at two slopes. That is what lets the nodal Newton solver
start cold. r, of the order of a branch's voltage over its current, changes the path to
a solution and never the solution.
"""

from __future__ import annotations

from typing import NamedTuple, Protocol

import numpy as np

from pvsim.circuit.cell import Cell
from pvsim.circuit.diode import Diode
from pvsim.circuit.floats import Floats
from pvsim.circuit.junctions import Laws
from pvsim.circuit.leaf import WIRE, Leaf, leaf_of
from pvsim.circuit.mesh import Mesh
from pvsim.circuit.network import Element, Resistor
from pvsim.circuit.register import Plan, current_register
from pvsim.circuit.states import States
from pvsim.circuit.tree import TreeSolver

BALANCE = 1e-12
PART_BALANCE = 2e-10  # where a branch is a whole part: it is itself solved to 1e-10 only
REFERENCE_JUNCTION_V = 0.6  # a silicon junction in the light
FAINTEST_A = 1e-9  # less light is darkness: a resistance scaled to it would drown all others


class Curves(NamedTuple):
    """Current, voltage and their derivatives by s; (branches, points) each."""

    current_A: Floats
    voltage_V: Floats
    current_slope: Floats
    voltage_slope: Floats


class BranchLaws(Protocol):
    """Curves of several branches: what the balances need to know of them.

    Attributes
    ----------
    reference_ohm : (branches, 1)
        r of each branch.
    balance : float
        Relative miss of a balance at which a point counts as solved.
    """

    reference_ohm: Floats
    balance: float

    def at(self, s: Floats) -> Curves:
        """The curves at s (branches, points)."""


class BranchCurves:
    """The curves of all branches of a mesh, one row a branch.

    Parameters
    ----------
    mesh : Mesh
    """

    def __init__(self, mesh: Mesh) -> None:
        elements = [branch.element for branch in mesh.branches]
        rows_of: dict[Element, list[int]] = {}
        leaves, leaf_rows = [], []
        for row, element in enumerate(elements):
            if isinstance(element, (Cell, Diode, Resistor)):
                leaves.append(leaf_of(element))
                leaf_rows.append(row)
            else:
                rows_of.setdefault(element, []).append(row)
        self._trees = [(np.array(rows), TreeCurves(element)) for element, rows in rows_of.items()]
        self.balance = PART_BALANCE if self._trees else BALANCE
        lights = [leaf.source_A for leaf in leaves] + [tree.most_source_A for _, tree in self._trees]
        brightest_A = max(lights)
        reference_A = brightest_A if brightest_A > FAINTEST_A else 1.0
        self._leaf_rows = np.array(leaf_rows, dtype=np.intp)
        self._leaves = LeafCurves(leaves, REFERENCE_JUNCTION_V / reference_A)
        self.reference_ohm = np.full((len(elements), 1), REFERENCE_JUNCTION_V / reference_A)
        for rows, tree in self._trees:
            tree.reference_ohm = max(tree.voc_V, REFERENCE_JUNCTION_V) / reference_A
            self.reference_ohm[rows] = tree.reference_ohm

    def at(self, s: Floats) -> Curves:
        """The curves at s (branches, points)."""
        out = Curves(*(np.empty_like(s) for _ in Curves._fields))
        parts = [(rows, tree.at(s[rows])) for rows, tree in self._trees]
        if self._leaf_rows.size:
            parts.append((self._leaf_rows, self._leaves.at(s[self._leaf_rows])))
        for rows, curves in parts:
            for whole, part in zip(out, curves, strict=True):
                whole[rows] = part
        return out

    def leaves_at(self, s: Floats) -> tuple[Floats, Floats, Floats]:
        """Voltage, current and Vd of every leaf at s (branches,), branch after branch."""
        pieces: dict[int, tuple[Floats, Floats, Floats]] = {}
        if self._leaf_rows.size:
            here = s[self._leaf_rows, None]
            curves, v = self._leaves.at(here), self._leaves.junction(here)
            for k, row in enumerate(self._leaf_rows):
                pieces[int(row)] = (curves.voltage_V[k], curves.current_A[k], v[k])
        for rows, tree in self._trees:
            for row, three in zip(rows, tree.leaves_at(s[rows]), strict=True):
                pieces[int(row)] = three
        voltage, current, junction = zip(*(pieces[row] for row in range(len(s))), strict=True)
        return np.concatenate(voltage), np.concatenate(current), np.concatenate(junction)


class TreeCurves:
    """The curve of a series-parallel part: s = V - r I, the voltage behind a resistor r."""

    def __init__(self, element: Element) -> None:
        register, lock = current_register()
        with lock:
            self._plan = Plan(register, register.number(element))
            self.most_source_A = register.electric[self._plan.electric].most_source_A
        self._solver = TreeSolver(self._plan)
        self._table = self._solver.table()
        self.voc_V = float(abs(self._table.voltage(np.zeros(1))[0]))
        self.reference_ohm = 1.0

    def at(self, s: Floats) -> Curves:
        """The curve at s (rows, points)."""
        states = self._states(s.ravel())
        R, r = states.slope_ohm, self.reference_ohm
        flat = (states.current_A, states.voltage_V, -1.0 / (R + r), R / (R + r))
        return Curves(*(part.reshape(s.shape) for part in flat))

    def leaves_at(self, s: Floats) -> list[tuple[Floats, Floats, Floats]]:
        """Voltage, current and Vd of the leaves, for each of s (rows,)."""
        states, order, solver = self._states(s), self._plan.order(), self._solver
        voltage = solver.sign * states.junction_V - states.leaf_current_A * solver.ohms
        parts = (voltage, states.leaf_current_A, states.junction_V)
        return [(parts[0][order, k], parts[1][order, k], parts[2][order, k]) for k in range(len(s))]

    def _states(self, s: Floats) -> States:
        r, table = self.reference_ohm, self._table
        along = table.V - r * table.I
        I = np.interp(s, along[::-1], table.I[::-1])
        start = self._solver.start(np.clip(s + r * I, table.V[-1], table.V[0]), I)
        a, b = np.ones(len(s)), np.full(len(s), -r)
        near = self._solver.solve(a, b, s, start)
        # One Newton step more, from 1e-10 to rounding: the mesh balances these curves.
        return self._solver.solve(a, b, s, near.junction_V)


class LeafCurves:
    """The curves of cells, diodes and resistors, one row a leaf."""

    def __init__(self, leaves: list[Leaf], reference_ohm: float) -> None:
        self._r = reference_ohm
        self.balance = BALANCE
        self.reference_ohm = np.full((len(leaves), 1), reference_ohm)
        junctions = [leaf.junction for leaf in leaves if leaf.junction is not WIRE]
        self._rows = np.flatnonzero([leaf.junction is not WIRE for leaf in leaves])
        self._laws = Laws(junctions) if junctions else None
        self._sign = np.array([leaf.sign for leaf in leaves])[self._rows, None]
        self._source = np.array([leaf.source_A for leaf in leaves])[self._rows, None]
        self._R = np.array([leaf.resistance_ohm for leaf in leaves])[:, None]

    def at(self, s: Floats) -> Curves:
        """The curves at s (rows, points)."""
        r, R, rows = self._r, self._R, self._rows
        # Without a junction: V = -I R and s = V - r I.
        I, dI = -s / (R + r), np.repeat(-1.0 / (R + r), s.shape[1], axis=1)
        if self._laws is None:
            return Curves(I, -I * R, dI, -dI * R)
        v, sign = self.junction(s)[rows], self._sign
        x, slope = self._laws.evaluate(v)
        I[rows] = self._source - sign * x
        dI[rows] = -sign * slope / (1.0 + r * slope)
        V, dV = -I * R, -dI * R
        V[rows] += sign * v
        dV[rows] += sign / (1.0 + r * slope)
        return Curves(I, V, dI, dV)

    def junction(self, s: Floats) -> Floats:
        """Vd at s (rows, points); 0 where there is no junction."""
        out = np.zeros_like(s)
        if self._laws is not None:
            out[self._rows] = self._laws.meet(s[self._rows], self._r)
        return out
