"""A start for the tree solver where its own Newton steps circle: steps that always lead down.

The tree solver takes full steps and bends each leaf's own where its tangent misleads: fast, and
nearly always enough. Two such leaves on one loop can send each other back and forth for ever, such
as a blocking diode beside a cell in breakdown. Here no leaf steps by itself. Currents that fall
with voltage everywhere make the state of a circuit the lowest point of a convex function of its
node voltages, its co-content (W. Millar, Phil. Mag. 42 (1951) 1150-1160; from memory); Newton's
direction leads down, and each step ends where its way is lowest. So it arrives from anywhere.
Voltages add up along every way throughout; currents do at the end.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pvsim.circuit import budget
from pvsim.circuit.drive import Drive
from pvsim.circuit.floats import Floats
from pvsim.circuit.sweep import Sweep
from pvsim.errors import ConvergenceError
from pvsim.numbers import short_number
from pvsim.words import _

STEPS = 400
MET = 1e-8  # current missed, relative to the largest (at least 1 A), that the tree solver takes on
_CUTS = 60
_LEVEL = 0.1  # of the fall at the start of a way: flat enough to be its lowest point


class _State(NamedTuple):
    """Voltages of the junctions, currents of the leaves in their series resistances, terminals."""

    v: Floats
    wire_A: Floats
    V: Floats

    def pick(self, points: NDArray[np.intp]) -> _State:
        return _State(self.v[:, points], self.wire_A[:, points], self.V[points])

    def towards(self, way: _State, t: Floats) -> _State:
        return _State(self.v + t * way.v, self.wire_A + t * way.wire_A, self.V + t * way.V)

    def less(self, other: _State) -> _State:
        return _State(self.v - other.v, self.wire_A - other.wire_A, self.V - other.V)


class Descent:
    """The steps down of one circuit.

    Parameters
    ----------
    sweep : Sweep
        Of the circuit.
    """

    def __init__(self, sweep: Sweep) -> None:
        self._sweep, self._laws = sweep, sweep.laws
        places = np.bincount(sweep.plan.order(), minlength=len(sweep.plan.leaves))
        # How many places each distinct leaf has.
        self._places: Floats = places[:, None].astype(float)
        self._ohms: Floats = self._places * sweep.ohms

    def lowest(self, drive: Drive, v: Floats) -> Floats:
        """v of every distinct junction, (leaves, points), at the points of a drive.

        Parameters
        ----------
        drive : Drive
            What holds the terminals, without a leak.
        v : (leaves, points)
            Where to begin; the nearer to the solution the fewer steps.

        Raises
        ------
        ConvergenceError
            If a point is not found within STEPS steps.
        """
        found = v.copy()
        todo = np.arange(v.shape[1])
        # To begin, what lies near v and adds up: tangents, none flatter than a path and none
        # through currents beyond reach, which would drive thousands of volts through the others.
        reach_A = self._sweep.plan.table_reach_A
        v = self._laws.invert(np.clip(self._law(v)[0], -reach_A, reach_A))
        f, df = self._law(v)
        here, _x = self._tangents(drive, v, f, np.maximum(df, 1.0 / self._sweep.path_ohm))
        for _step in range(STEPS):
            budget.check()
            f, df = self._law(here.v)
            there, x = self._tangents(drive, here.v, f, df)
            missed = np.abs(self._law(there.v)[0] - x).max(axis=0)
            met = missed <= MET * np.maximum(np.abs(x).max(axis=0), 1.0)
            found[:, todo[met]] = there.v[:, met]
            if met.all():
                return found
            left = np.flatnonzero(~met)
            drive, todo, here, there = drive.pick(left), todo[left], here.pick(left), there.pick(left)
            way = there.less(here)
            here = here.towards(way, self._share(drive, here, way, x[:, left]))
        raise ConvergenceError(
            _("{count} of {points} points did not settle in {steps} Newton steps").format(
                count=len(todo), points=v.shape[1], steps=STEPS
            ),
            expected=_("a relative residual of at most {most}").format(most=short_number(MET)),
            mend=_("Change an extreme resistance, temperature or voltage a little"),
        )

    def _tangents(self, drive: Drive, v: Floats, f: Floats, df: Floats) -> tuple[_State, Floats]:
        """Where all junctions lie on lines through (v, f) with slopes df, and their x there."""
        sweep = self._sweep
        r = 1.0 / df
        tangents = np.stack((sweep.sign * (v - f * r) + sweep.source * r, r + sweep.ohms))
        V, _I, _r0, leaf_A = sweep.meet(drive.a, drive.b, drive.c, tangents)
        x = sweep.sign * (sweep.source - leaf_A)
        return _State(v + (x - f) * r, leaf_A, V), x

    def _share(self, drive: Drive, here: _State, way: _State, x: Floats) -> Floats:
        """How far along a way it is lowest, (points,): to its end where it still falls there.

        Parameters
        ----------
        x : (leaves, points)
            Of the junctions at the end of the way, where it adds up.
        """
        weight = self._places * way.v
        held = drive.b != 0.0
        outside = np.where(held, drive.a / np.where(held, drive.b, 1.0), 0.0) * way.V**2
        straight = (self._ohms * way.wire_A**2).sum(axis=0) - outside

        def downhill(t: Floats) -> Floats:
            # Power of the currents missed: it vanishes where currents add up (Tellegen). Currents
            # that add up have none along a way, and taken off each they leave no rounding behind.
            fall: Floats = ((x - self._law(here.v + t * way.v)[0]) * weight).sum(axis=0)
            fall += (1.0 - t) * straight
            return fall

        low, high = np.zeros(len(x[0])), np.ones(len(x[0]))
        f_low, f_high = downhill(low), downhill(high)
        enough = _LEVEL * np.abs(f_low)
        done = (f_high >= -enough) | (f_low <= 0.0)
        low[done] = 1.0
        for cut in range(_CUTS):
            if done.all():
                break
            # By turns the secant and the middle: the fall bends sharply.
            fall = f_low - f_high
            part = np.divide(f_low, fall, out=np.full(len(fall), 0.5), where=~done & (cut % 2 == 0))
            t = low + (high - low) * part
            f = downhill(t)
            down, up = (f > 0.0) & ~done, (f <= 0.0) & ~done
            low, f_low = np.where(down, t, low), np.where(down, f, f_low)
            high, f_high = np.where(up, t, high), np.where(up, f, f_high)
            done |= down & (f <= enough)
        return low

    def _law(self, v: Floats) -> tuple[Floats, Floats]:
        """f(v) and f'(v), straight on beyond the ends."""
        inside = np.clip(v, self._sweep.least_v, self._sweep.most_v)
        f, df = self._laws.evaluate(inside)
        return f + df * (v - inside), df
