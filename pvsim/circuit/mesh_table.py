"""The tabulated characteristic of a mesh, from the tables of its branches: where an exact solve starts.

Between its knots each branch is taken as straight. Currents that fall with voltage everywhere make
the state of the mesh the lowest point of a convex function of the node voltages (W. Millar, Phil.
Mag. 42 (1951) 1150-1160: the co-content; from memory). Newton's step is its lowest point if all
branches stay on their stretches, and where it leads uphill the way is cut at the lowest point along
it. So it arrives from anywhere, for all points of the curve together. Points are added until the
curve of the whole lies straight between them.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from pvsim.circuit import budget
from pvsim.circuit.drive import Drive
from pvsim.circuit.floats import Floats
from pvsim.circuit.register import Ends
from pvsim.circuit.stars import stars_of
from pvsim.circuit.table import Table

_STEPS = 60
_CUTS = 7  # evaluations to find how far along a step to go
_UPHILL = 0.1  # of the fall at the start: a little rise at the end is near enough to the lowest point
_MET = 1e-6  # current missed that will do for a start, relative to the largest (at least 1 A)
_LEAST_ohm = 1e-12
_FAR = 1e6  # times the reach: where the ends go straight on to
_FIRST_V, _FIRST_A = 0.6, 0.1  # scales where there is hardly any light
_COARSE, _FINE = 33, 65  # first points along the whole reach, and where the curve is shown
_ROUNDS = 7  # of points added
_NARROW, _NARROWEST = 1e-4, 5e-6  # of the scale: no points between nearer ones, at a maximum of power
_PARTS = np.arange(1.0, 8.0)[:, None] / 8.0  # of a gap with a maximum of power
_STRAIGHT = 2e-4  # of the scale: a point this near to the line between its neighbours adds nothing
_MOST_KNOTS = 1200


class _Line:
    """A branch as straight stretches from knot to knot."""

    def __init__(self, table: Table, reach_A: float) -> None:
        first, last = -table.slope[[0, -1]]
        far = _FAR * reach_A
        I = np.concatenate(([table.I[0] - far], table.I, [table.I[-1] + far]))
        V = np.concatenate(([table.V[0] + first * far], table.V, [table.V[-1] - last * far]))
        self._I, self._V = I[::-1], V[::-1]
        self._R = np.maximum(np.diff(self._V) / -np.diff(self._I), _LEAST_ohm)

    def at(self, V: Floats) -> tuple[Floats, Floats]:
        """The current, and -dV/dI of the stretch on which it lies."""
        k = self._V[1:-1].searchsorted(V)
        R = self._R[k]
        return self._I[k] - (V - self._V[k]) / R, R


class MeshTable(Table):
    """The falling characteristic of a mesh on knots, with its branches at each of them.

    Parameters
    ----------
    ends : Ends
        The nodes at which each branch starts and ends.
    branches : sequence of (rows, Table)
        Each distinct characteristic, behind the branches that have it.
    reach_A : float
        The currents covered, up and down.
    """

    __slots__ = ("_along", "_lines", "_r0", "_stars", "_v")

    def __init__(self, ends: Ends, branches: Sequence[tuple[Sequence[int], Table]], reach_A: float) -> None:
        self._stars = stars_of(ends)
        self._lines = [(np.array(rows), _Line(table, reach_A)) for rows, table in branches]
        # The ends of the reach, Voc and Isc.
        a, b = np.array([0.0, 0.0, 0.0, 1.0]), np.array([1.0, 1.0, 1.0, 0.0])
        v, _at_A, I, r = self._meet(Drive(a, b, np.array([-reach_A, reach_A, 0.0, 0.0])), None)
        V = v[-1]
        scale_V = max(abs(float(V[2])), _FIRST_V)
        self._r0 = scale_V / max(abs(float(I[3])), _FIRST_A)
        along = V - self._r0 * I
        shown = 1.2 * float(np.abs(along[2:]).max())
        order = along.argsort(kind="stable")
        self._v, self._along = v[:, order], along[order]
        V, I, r = self._refined(V[order], I[order], r[order], shown, scale_V)
        super().__init__(I[::-1].copy(), V[::-1].copy(), -r[::-1])

    def branches(self, V: Floats, I: Floats) -> tuple[Floats, Floats]:
        """Voltage and current of every branch, (branches, points), at terminal points near (V, I)."""
        along = V - self._r0 * I
        v, at_A, _I, _r = self._meet(self._line(along), self._between(along))
        return v[:-1], at_A

    def _refined(
        self, V: Floats, I: Floats, r: Floats, shown: float, scale_V: float
    ) -> tuple[Floats, Floats, Floats]:
        """The points, along rising, with others between them where the curve bends."""
        least, most = self._along[0], self._along[-1]
        along = np.concatenate((np.linspace(least, most, _COARSE)[1:-1], np.linspace(-shown, shown, _FINE)))
        along = along[(along > least) & (along < most)]
        points = np.vstack((self._along, V, I, r))
        new = self._points(along)
        for _round in range(_ROUNDS):
            points = np.hstack((points, new))
            order = points[0].argsort(kind="stable")
            points, self._v = points[:, order], self._v[:, order]
            distinct = np.concatenate(([True], np.diff(points[0]) > 1e-12 * (most - least)))
            points, self._v = points[:, distinct], self._v[:, distinct]
            self._along = points[0]
            if points.shape[1] > _MOST_KNOTS:
                break
            # A point that lies off the line between its neighbours asks for one on either side.
            before, here, after = points[:, :-2], points[:, 1:-1], points[:, 2:]
            share = (here[0] - before[0]) / (after[0] - before[0])
            off = np.abs(here[1] - (before[1] + share * (after[1] - before[1])))
            bent = off > _STRAIGHT * scale_V
            gap = np.zeros(points.shape[1] - 1, dtype=bool)
            gap[:-1] |= bent
            gap[1:] |= bent
            width = np.diff(points[0])
            halved = np.flatnonzero(gap & (width > _NARROW * scale_V))
            parted = np.flatnonzero(self._peaks(points) & (width > _NARROWEST * scale_V))
            middles = points[0, halved] + 0.5 * width[halved]
            along = np.concatenate((middles, (points[0, parted] + _PARTS * width[parted]).ravel()))
            if not along.size:
                break
            new = self._points(along)
        return points[1], points[2], points[3]

    @staticmethod
    def _peaks(points: Floats) -> NDArray[np.bool_]:
        """Between which neighbours power, V I, turns from rising to falling."""
        _along, V, I, r = points
        rises = I > V / r
        peaks: NDArray[np.bool_] = rises[:-1] & ~rises[1:] & (V[1:] > 0.0) & (I[:-1] > 0.0)
        return peaks

    def _line(self, along: Floats) -> Drive:
        """The lines V - r0 I = along, which meet flat and steep stretches alike."""
        return Drive(np.ones(len(along)), np.full(len(along), -self._r0), along)

    def _points(self, along: Floats) -> Floats:
        """Points with V - r0 I = along, as (along, V, I, r); their branches join the others'."""
        v, _at_A, I, r = self._meet(self._line(along), self._between(along))
        self._v = np.hstack((self._v, v))
        return np.vstack((along, v[-1], I, r))

    def _between(self, along: Floats) -> Floats:
        """Voltages of the branches and the terminals between the points known."""
        known = self._along
        k = np.clip(known.searchsorted(along), 1, len(known) - 1)
        share = (along - known[k - 1]) / np.maximum(known[k] - known[k - 1], 1e-300)
        between: Floats = self._v[:, k - 1] + share * (self._v[:, k] - self._v[:, k - 1])
        return between

    def _at(self, v: Floats) -> Floats:
        """I and -dV/dI of the branches, (2, branches, points)."""
        at = np.empty((2, *v.shape))
        for rows, line in self._lines:
            at[0, rows], at[1, rows] = line.at(v[rows])
        return at

    def _meet(self, drive: Drive, v: Floats | None) -> tuple[Floats, Floats, Floats, Floats]:
        """Points of a drive: voltages of branches and terminals, currents of branches, I, -dV/dI.

        Parameters
        ----------
        v : (branches + 1, points) or None
            Voltages to begin with that add up along every way.
        """
        B, points = self._stars.given, len(drive.c)
        begun = v is not None
        v = np.zeros((B + 1, points)) if v is None else v
        at_A, I, r = np.zeros((B, points)), np.zeros(points), np.ones(points)
        todo = np.arange(points)
        at = self._at(v[:-1])
        for _step in range(_STEPS):
            budget.check()
            line, here = drive.pick(todo), v[:, todo]
            tangents = np.stack((here[:-1] + at[1] * at[0], at[1]))
            composed = self._stars.compose(tangents)
            e0, r0 = self._stars.whole(composed)[:, 0]
            J = (line.c - line.a * e0) / (line.b - line.a * r0)
            target_A = self._stars.currents(composed, J)
            target = np.vstack((tangents[0] - tangents[1] * target_A, e0 - r0 * J))
            there = self._at(target[:-1])
            missed = np.abs(there[0] - target_A).max(axis=0)
            met = missed <= _MET * np.maximum(np.abs(target_A).max(axis=0), 1.0)
            if begun:  # the first of all steps goes to where voltages add up
                self._cut(line, here, target, at, there, ~met)
            begun = True
            v[:, todo], at_A[:, todo], I[todo], r[todo] = target, target_A, J, r0
            if met.all():
                break
            todo, at = todo[~met], there[:, :, ~met]
        return v, at_A, I, r

    def _cut(
        self, drive: Drive, here: Floats, target: Floats, at: Floats, there: Floats, open_: NDArray[np.bool_]
    ) -> None:
        """Where a step leads uphill, end it at the lowest point on its way: changes target and there."""
        way = target - here
        at_start = _downhill(drive, here, way, at[0])
        at_end = _downhill(drive, target, way, there[0])
        far = np.flatnonzero(open_ & (at_end < -_UPHILL * np.abs(at_start)))
        if not far.size:
            return
        drive, here, way = drive.pick(far), here[:, far], way[:, far]
        low, high = np.zeros(far.size), np.ones(far.size)
        f_low, f_high = at_start[far], at_end[far]
        for cut in range(_CUTS):
            # By turns the secant and the middle: the fall bends sharply.
            fall = f_low - f_high
            share = np.divide(f_low, fall, out=np.full(far.size, 0.5), where=(fall > 0.0) & (cut % 2 == 0))
            t = low + (high - low) * share
            v = here + t * way
            f = _downhill(drive, v, way, self._at(v[:-1])[0])
            down = f > 0.0
            low, f_low = np.where(down, t, low), np.where(down, f, f_low)
            high, f_high = np.where(down, high, t), np.where(down, f_high, f)
        target[:, far] = here + np.where(low > 0.0, low, high) * way
        there[:, :, far] = self._at(target[:-1, far])


def _downhill(drive: Drive, v: Floats, way: Floats, at_A: Floats) -> Floats:
    """Power of the currents missed along a way, (points,): at the solution it vanishes (Tellegen)."""
    held = drive.b != 0.0
    J = (drive.c - drive.a * v[-1]) / np.where(held, drive.b, 1.0)
    fall: Floats = (at_A * way[:-1]).sum(axis=0) - np.where(held, J * way[-1], 0.0)
    return fall
