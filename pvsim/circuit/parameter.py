"""Every branch of a mesh as a curve (I(s), V(s)) in a parameter of its own.

In s both coordinates are gentle: with s = v + r x a junction's law x = f(v) bends once
from voltage to current instead of growing exponentially, and an open branch and a
bridge are straight lines at two slopes. That is what lets the nodal Newton solver
start cold. r, of the order of a cell's voltage over its current, changes the path to a
solution and never the solution.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pvsim.circuit.law import Laws, Leaf, leaf_of
from pvsim.circuit.mesh import LeafElement, Mesh
from pvsim.circuit.solution import Floats

REFERENCE_JUNCTION_V = 0.6  # a silicon junction in the light
_INNER_STEPS = 50


class Curves(NamedTuple):
    """Current, voltage, their derivatives by s, and Vd; (branches, points) each."""

    current_A: Floats
    voltage_V: Floats
    current_slope: Floats
    voltage_slope: Floats
    junction_V: Floats


class BranchCurves:
    """The curves of all branches of a mesh, one row a branch."""

    def __init__(self, mesh: Mesh) -> None:
        elements = [branch.element for branch in mesh.branches]
        self.reference_A = max(abs(leaf_of(element).source_A) for element in elements) or 1.0
        self.leaves = LeafCurves(elements, self.reference_A)
        self.reference_ohm = self.leaves.reference_ohm

    def at(self, s: Floats, light: Floats) -> Curves:
        return self.leaves.at(s, light)


class LeafCurves:
    """The curves of cells, diodes and resistors, one row an element.

    Parameters
    ----------
    elements : list of Cell, Diode or Resistor
    reference_current_A : float
        Of the network; sets r.
    """

    def __init__(self, elements: list[LeafElement], reference_current_A: float) -> None:
        laws: list[Leaf] = [leaf_of(element) for element in elements]
        self.count = len(laws)
        self.reference_ohm = np.full((self.count, 1), REFERENCE_JUNCTION_V / reference_current_A)
        self._with: NDArray[np.intp] = np.array([k for k, law in enumerate(laws) if law.junction], dtype=np.intp)
        self._laws = Laws([law.junction for law in laws if law.junction])
        self._sign = np.array([[law.sign] for law in laws])[self._with]
        self._source = np.array([[law.source_A] for law in laws])[self._with]
        self._R = np.array([[law.resistance_ohm] for law in laws])

    def at(self, s: Floats, light: Floats) -> Curves:
        """The curves at s, (rows, points); `light` (points,) scales every photocurrent."""
        r, R, rows = self.reference_ohm, self._R, self._with
        # Without a junction: V = -I R and s = V - r I.
        I, dI = -s / (R + r), np.broadcast_to(-1.0 / (R + r), s.shape).copy()
        v = np.zeros_like(s)
        if rows.size:
            sign = self._sign
            v[rows] = self._junction(s[rows], r[rows])
            x, slope = self._laws.evaluate(v[rows])
            I[rows] = light * self._source - sign * x
            dI[rows] = -sign * slope / (1.0 + r[rows] * slope)
        V, dV = -I * R, -dI * R
        if rows.size:
            V[rows] += sign * v[rows]
            dV[rows] += sign / (1.0 + r[rows] * slope)
        return Curves(I, V, dI, dV, v)

    def _junction(self, s: Floats, r: Floats) -> Floats:
        """v with v + r f(v) = s, by Newton from a bound above the root of convex parts."""
        law = self._laws
        up = s > 0.0
        forward = np.minimum(s, law.a1 * np.log1p(np.maximum(s, 0.0) / (r * law.I01)))
        y = np.maximum(-s, 0.0)
        reverse = y / (1.0 + r * law.G)
        if law.any_breakdown:
            b = -law.Vbr
            # From r u H (1 - u/b)^-m <= y, with u >= b/2.
            strength = np.maximum(r * b * law.H / np.maximum(2.0 * y, 1e-300), 1e-300)
            pole = np.where(law.H > 0.0, b * -np.expm1(np.minimum(np.log(strength) / law.m, 0.0)), np.inf)
            reverse = np.minimum(reverse, np.maximum(pole, 0.5 * b))
        v = np.where(up, forward, -reverse)
        inner, outer = np.zeros_like(v), v.copy()  # the root lies between the two
        for _ in range(_INNER_STEPS):
            x, slope = law.evaluate(v)
            miss = v + r * x - s
            beyond = np.where(up, miss > 0.0, miss < 0.0)
            outer = np.where(beyond, v, outer)
            inner = np.where(beyond, inner, v)
            new = v - miss / (1.0 + r * slope)
            lost = np.where(up, (new > outer) | (new < inner), (new < outer) | (new > inner))
            new = np.where(lost, 0.5 * (inner + outer), new)
            if np.all(np.abs(new - v) <= 1e-14 * np.abs(new) + 1e-300):
                return new
            v = new
        return v
