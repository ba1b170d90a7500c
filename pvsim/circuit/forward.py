"""The forward branch of junctions with one diode and a shunt, in closed form.

Forward, Bishop's term is nearly a part of the shunt, and with S for both

    x = I01 (exp(v/a) - 1) + S v.

With v = a (p + ln(S a / I01)) that is p + exp(p) = L, L rising straight with x: one function p(L) for
every such junction, gently bent from p = L to p = ln L. (It is the logarithm of Wright's omega function:
R. M. Corless and D. J. Jeffrey, ISSAC 2002.) What the term bends beside the shunt is put right by its own
second-order series. All in single precision, in which numpy takes about half the time: what is
found is a start, and its rounding, 1e-7 V, the least of its faults.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pvsim.circuit.floats import Floats

__all__ = ["Forward"]

_STEPS = 2  # of Newton's: from the start taken here to 1e-3 where p bends, and far closer beside it


class Forward:
    """The forward branches of some junctions, one a row.

    Parameters
    ----------
    I01, a1, G, H, Vbr, m : (rows, 1)
        Of the law in `pvsim.circuit.leaf`; its second diode is left out.
    """

    __slots__ = ("_a", "_at_none", "_bend", "_curve", "_knee_V", "_level", "_per_A")

    def __init__(self, I01: Floats, a1: Floats, G: Floats, H: Floats, Vbr: Floats, m: Floats) -> None:
        # The term is expanded about the knee, where diode and shunt bend x alike.
        knee_V = a1 * np.log((G + H) * a1 / I01)
        q = 1.0 - knee_V / Vbr
        breakdown = H * q**-m
        S = G + breakdown
        level, bend = np.log(S * a1 / I01), breakdown / S * m / (Vbr * q)
        self._a, self._knee_V, self._level = _single(a1), _single(knee_V), _single(level)
        self._per_A, self._at_none = _single(1.0 / (S * a1)), _single(I01 / (S * a1) - level)
        self._bend, self._curve = _single(bend), _single(bend * (m + 1.0) / (2.0 * Vbr * q))

    def pick(self, rows: NDArray[np.intp] | slice) -> Forward:
        """The branches of some rows."""
        some = object.__new__(Forward)
        for name in Forward.__slots__:
            setattr(some, name, getattr(self, name)[rows])
        return some

    def columns(self) -> list[NDArray[np.float32]]:
        """What the kernel needs of them, in its order, (rows, 1) each."""
        return [self._a, self._knee_V, self._level, self._per_A, self._at_none, self._bend, self._curve]

    def voltage(self, x: Floats) -> Floats:
        """v at currents x >= 0, (rows, points): to 1e-2 of a about the knee, elsewhere far closer."""
        L = _single(x)
        L *= self._per_A
        L += self._at_none
        p, scratch = np.maximum(L, 1.0), np.empty_like(L)
        np.log(p, out=scratch)
        p -= scratch
        np.log(p, out=p)
        np.minimum(p, L, out=p)
        for _ in range(_STEPS):
            rise = np.exp(p)
            np.add(p, rise, out=scratch)
            scratch -= L
            rise += 1.0
            scratch /= rise
            p -= scratch
        p += self._level
        p *= self._a
        # S as it is at v, instead of at the knee.
        off = np.subtract(p, self._knee_V, out=L)
        np.multiply(off, self._curve, out=scratch)
        scratch += self._bend
        scratch *= off
        scratch *= p
        scratch /= rise
        p -= scratch
        return p.astype(np.float64)


def _single(x: Floats) -> NDArray[np.float32]:
    return x.astype(np.float32)
