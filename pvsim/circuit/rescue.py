"""A start for the tree solver where its own Newton steps circle.

The tree solver takes full steps: fast, and nearly always enough. Where they circle, the
damped steps of the nodal solver on the same leaves find the point, and the tree solver
begins again right there.
"""

from __future__ import annotations

import numpy as np

from pvsim.circuit import budget
from pvsim.circuit.balance import System, solve_drive
from pvsim.circuit.drive import Drive
from pvsim.circuit.law import WIRE, Leaf
from pvsim.circuit.parameter import REFERENCE_JUNCTION_V, LeafCurves
from pvsim.circuit.part import Plan
from pvsim.circuit.solution import Floats

MINUS, PLUS = 0, 1
_AT_ONCE = 1_000_000  # leaves times points, which bounds the memory
MOST_LEAVES = 20_000  # beyond it the nodal solver would take minutes


def junction_voltages(plan: Plan, a: Floats, b: Floats, c: Floats) -> Floats:
    """v of every distinct leaf of a plan at the points with a V + b I = c.

    Parameters
    ----------
    a, b, c : (points,)

    Returns
    -------
    (leaves, points)
        In the order of plan.leaves.

    Raises
    ------
    ConvergenceError
        If the nodal solver does not find a point either.
    """
    order = plan.order()
    budget.check()
    wiring = Wiring(plan)
    leaves = [plan.leaves[row] for row in order]
    reference_A = max(leaf.source_A for leaf in leaves) or 1.0
    curves = LeafCurves(leaves, REFERENCE_JUNCTION_V / reference_A)
    system = System(curves, np.array(wiring.start), np.array(wiring.end))
    found = np.empty((len(plan.leaves), len(c)))
    width = max(_AT_ONCE // len(leaves), 1)
    for first in range(0, len(c), width):
        here = slice(first, first + width)
        solution = solve_drive(system, Drive(a[here], b[here], c[here]))
        v = curves.junction(solution.x[: system.B])
        for k, row in enumerate(order):
            wire = leaves[k].junction is WIRE
            found[row, here] = _in_wire(leaves[k], solution.at.current_A[k]) if wire else v[k]
    return found


def within_reach(plan: Plan) -> bool:
    """Whether the nodal solver can take on the circuit."""
    return len(plan.order()) <= MOST_LEAVES


def _in_wire(leaf: Leaf, I: Floats) -> Floats:
    return leaf.sign * (leaf.source_A - I) / WIRE.conductance_S


class Wiring:
    """The nodes at the minus and plus terminal of every leaf of a plan, depth first."""

    def __init__(self, plan: Plan) -> None:
        self.start: list[int] = []
        self.end: list[int] = []
        self._nodes = 2
        self._register = plan.register
        self._lay(plan.drawn, MINUS, PLUS)

    def _lay(self, drawn: int, minus: int, plus: int) -> None:
        part = self._register.electric[self._register.electric_number(drawn)]
        kind, children = part.kind, self._register.drawn_children(drawn)
        if kind == "leaf":
            self.start.append(minus)
            self.end.append(plus)
        elif kind == "mesh":  # the whole circuit: its nodes keep their numbers
            self._nodes = 1 + max(max(pair) for pair in part.ends)
            for child, (start, end) in zip(children, part.ends, strict=True):
                self._lay(child, start, end)
        elif kind == "turned":
            self._lay(children[0], plus, minus)
        elif kind == "parallel":
            for child in children:
                self._lay(child, minus, plus)
        else:
            for child in children[:-1]:
                between = self._nodes
                self._nodes += 1
                self._lay(child, minus, between)
                minus = between
            self._lay(children[-1], minus, plus)
