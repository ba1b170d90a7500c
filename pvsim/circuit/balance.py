"""The balances of a mesh and Newton's method on them, any wiring.

Unknown are the parameter s of every branch, the node voltages and the terminal
current. Current balance at each node and voltage balance along each branch are
linear in (I(s), V(s)) and v, so only the branch curves bend. All points of a curve are
solved together, as one block-diagonal sparse system.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pvsim.circuit import budget
from pvsim.circuit.drive import Drive
from pvsim.circuit.floats import Floats
from pvsim.circuit.parameter import PART_BALANCE, BranchLaws, Curves
from pvsim.errors import ConvergenceError
from pvsim.numbers import short_number
from pvsim.words import _

ROUNDED = 5e-10  # relative miss that large resistances may leave, within the stated bar of 1e-9
STILL = 1e-9  # relative last change of s that lets a balanced point rest
STEPS = 120
HALVINGS = 14
STAGES = 200
LEAST_LEAK = 1e-16  # of the largest
UNKNOWNS_AT_ONCE = 150_000  # bounds the memory of one factorisation


class System:
    """The equations of a mesh: which they are, by how much they are missed, their tangent.

    An unknown x (size, points) holds s of each branch, then the node voltages with the
    plus terminal first, then the terminal current.

    Parameters
    ----------
    curves : BranchLaws
        What each branch does.
    start, end : (branches,)
        The node at which each has its minus and its plus terminal; node 0 is the minus
        terminal of the mesh, node 1 the plus terminal.
    """

    def __init__(self, curves: BranchLaws, start: NDArray[np.intp], end: NDArray[np.intp]) -> None:
        from scipy.sparse import csr_matrix

        self.curves = curves
        B, N = len(start), int(max(start.max(), end.max()))
        self.B, self.N, self.size = B, N, B + N + 1
        branch = np.arange(B)
        signs = np.concatenate((np.ones(B), -np.ones(B)))
        ends = (np.concatenate((end, start)), np.concatenate((branch, branch)))
        # The minus terminal, row 0, is the reference; the plus terminal comes next.
        self.A = csr_matrix((signs, ends), shape=(N + 1, B))[1:]
        self.AT = self.A.T.tocsr()
        entries = self.A.tocoo()
        node, at, self._sign = entries.row, entries.col, entries.data
        self._at = at
        nodes = np.arange(N)
        self._rows = np.concatenate((node, nodes, [0], N + branch, N + at, [N + B, N + B]))
        self._columns = np.concatenate((at, B + nodes, [B + N], branch, B + node, [B, B + N]))

    def miss(self, x: Floats, at: Curves, drive: Drive) -> Floats:
        """Current missed at nodes, voltage missed along branches (over r), and the terminals."""
        B, J = self.B, x[-1]
        v = x[B:-1]
        node = self.A @ at.current_A - drive.leak_S * v
        node[0] -= J
        along = (at.voltage_V - self.AT @ v) / self.curves.reference_ohm
        return np.vstack((node, along, drive.a * v[0] + drive.b * J - drive.c))

    def residual(self, at: Curves, missed: Floats, leak_S: float = 0.0) -> Floats:
        """The larger of the relative misses of current and voltage, (points,)."""
        N = self.N
        most_V = np.maximum(np.max(np.abs(at.voltage_V), axis=0), 1.0)
        most_A = np.maximum(np.max(np.abs(at.current_A), axis=0), 1.0) + leak_S * most_V
        current = np.max(np.abs(missed[:N]), axis=0)
        voltage = np.max(np.abs(missed[N:-1] * self.curves.reference_ohm), axis=0)
        worst: Floats = np.maximum(current / most_A, voltage / most_V)
        return worst

    def tangent_solve(self, at: Curves, drive: Drive, right: Floats) -> Floats:
        """Solve the linearised equations for right-hand sides (size, points)."""
        from scipy.sparse import csc_matrix
        from scipy.sparse.linalg import splu

        n, points = right.shape
        r = self.curves.reference_ohm
        data = np.vstack(
            (
                self._sign[:, None] * at.current_slope[self._at],
                np.full((self.N, points), -drive.leak_S),
                np.full((1, points), -1.0),
                at.voltage_slope / r,
                np.repeat(-self._sign[:, None] / r[self._at], points, axis=1),
                drive.a[None],
                drive.b[None],
            )
        )
        out = np.empty_like(right)
        width = max(1, UNKNOWNS_AT_ONCE // n)
        for first in range(0, points, width):
            budget.check()
            here = slice(first, min(first + width, points))
            size = n * (here.stop - first)
            shift = n * np.arange(here.stop - first)
            rows = (self._rows[:, None] + shift).ravel()
            columns = (self._columns[:, None] + shift).ravel()
            matrix = csc_matrix((data[:, here].ravel(), (rows, columns)), shape=(size, size))
            try:
                out[:, here] = splu(matrix).solve(right[:, here].T.ravel()).reshape(-1, n).T
            except RuntimeError as error:  # "Factor is exactly singular"
                raise _not_solved("the voltage of a node is not determined") from error
        return out


class Solution(NamedTuple):
    """All points of a drive, solved; the last axis counts points."""

    x: Floats
    at: Curves
    slope_A_per_V: Floats
    residual: Floats
    iterations: int


def solve_drive(system: System, drive: Drive, start: Floats | None = None) -> Solution:
    """Every point of a drive, from a cold start or a solution nearby.

    Raises
    ------
    ConvergenceError
        If a point does not reach BALANCE.
    """
    points = len(drive.c)
    # In amperes, as the other equations.
    size = np.abs(drive.a) * system.curves.reference_ohm.min() + np.abs(drive.b)
    drive = Drive(drive.a / size, drive.b / size, drive.c / size)
    x = np.zeros((system.size, points)) if start is None else start.copy()
    solved, iterations = _newton(system, drive, x)
    for point in np.flatnonzero(~solved):
        x[:, point : point + 1], more = _by_leaks(system, drive.pick(np.array([point])))
        iterations += more
    at = system.curves.at(x[: system.B])
    right = np.zeros((system.size, points))
    right[-1] = 1.0
    change = system.tangent_solve(at, drive, right)
    residual = system.residual(at, system.miss(x, at, drive))
    return Solution(x, at, change[-1] / change[system.B], residual, iterations)


def _newton(system: System, drive: Drive, x: Floats) -> tuple[NDArray[np.bool_], int]:
    """Damped Newton steps on all points, x in place; which points were solved, and the steps."""
    B = system.B
    todo = np.arange(x.shape[1])
    solved = np.zeros(x.shape[1], dtype=bool)
    at = system.curves.at(x[:B])
    missed = system.miss(x, at, drive)
    calm = np.zeros(len(todo), dtype=int)
    iteration = 0
    while iteration < STEPS and todo.size:
        iteration += 1
        here = drive.pick(todo)
        old, change = x[:, todo], system.tangent_solve(at, here, -missed)
        before, merit = at, np.sum(missed**2, axis=0)
        t = np.ones(len(todo))
        for _halving in range(HALVINGS):
            budget.check()
            new = old + t * change
            at = system.curves.at(new[:B])
            missed = system.miss(new, at, here)
            # Balanced by the size of the last point: a runaway point would excuse itself.
            done = system.residual(before, missed, drive.leak_S) <= system.curves.balance
            worse = ~done & ~(np.sum(missed**2, axis=0) < merit)
            if not worse.any():
                break
            t[worse] *= 0.5
        x[:, todo] = new
        residual = system.residual(at, missed, drive.leak_S)
        calm = np.where(residual <= system.curves.balance, calm + 1, 0)
        still = np.all(np.abs(change[:B]) <= STILL * (1.0 + np.abs(new[:B])), axis=0)
        # Rounding keeps some branches from ever being still: three balanced steps also do.
        ready = ((calm >= 1) & (t == 1.0) & still) | (calm >= 3)
        # No step is better: at the floor of rounding, or stuck.
        ready |= worse & (residual <= ROUNDED)
        if (ready | worse).any():
            solved[todo[ready]] = True
            keep = ~(ready | worse)
            todo, calm, missed = todo[keep], calm[keep], missed[:, keep]
            at = Curves(*(part[:, keep] for part in at))
    return solved, iteration


def _by_leaks(system: System, drive: Drive) -> tuple[Floats, int]:
    """One point by way of meshes whose nodes leak, less and less."""
    x = np.zeros((system.size, 1))
    largest = 1e3 / float(system.curves.reference_ohm.min())
    leak, ratio, reached, iterations = largest, 0.1, np.inf, 0
    for _stage in range(STAGES):
        trial = x.copy()
        solved, steps = _newton(system, drive._replace(leak_S=leak), trial)
        iterations += steps
        if solved[0]:
            if leak == 0.0:
                return trial, iterations
            x, reached, ratio = trial, leak, max(ratio**1.5, 1e-3)
        elif reached == np.inf:
            break
        else:
            ratio = ratio**0.5
        leak = reached * ratio if reached * ratio > LEAST_LEAK * largest else 0.0
    if reached == np.inf:
        wrong = _("no balance even with leaks after {steps} Newton steps")
    else:
        wrong = _("no balance with leaks below {leak} S after {steps} Newton steps")
    raise _not_solved(wrong.format(leak=short_number(reached, 3), steps=iterations))


def _not_solved(wrong: str) -> ConvergenceError:
    return ConvergenceError(
        _("the mesh was not solved: {wrong}").format(wrong=wrong),
        expected=_("balances met within {share} of the largest current and voltage").format(
            share=short_number(PART_BALANCE)
        ),
        mend=_("Look for resistances or parameters far from those of real parts"),
    )
