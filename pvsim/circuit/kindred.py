"""Junctions that differ in their shunt and breakdown voltage alone share one table.

Backward, with w = -v, s = w / -Vbr, the law of Bishop's term is

    -x = G -Vbr s (1 + a (1 - s)^-m),    a = H / G,

and s is one function of x / (G Vbr) for all that have a and m in common. So the table of one, read at a
current that is scaled and giving a voltage that is scaled, is that of each of the others. Forward, where the
exponential leads, those with one diode have a closed form (see forward.py); with two, the voltages are
nearly the same, and one or two of Newton's steps lead from one to the other. That leaves out the
saturation currents, so a junction where they count beside its shunt, as a diode's, has a table of its
own; and so has one that stands alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import floor, log2

from pvsim.circuit.leaf import Junction

__all__ = ["Kinship", "kinships"]

FEWEST = 4  # of one family: fewer have tables of their own
MOST_OCTAVES = 3  # of conductance that share a table: beyond them a start would be a poor one
_FAMILIES_KEPT = 3000
_SAME = 1e12  # parts of a that two may differ in by one and still be told as equal
_NEGLIGIBLE = 0.01  # of the current that the shunt carries at the thermal voltage

Kinship = tuple[Junction, float, float]  # whose table; factor on negative currents; on negative voltages
Family = tuple[float, ...]

_eldest: dict[Family, Junction] = {}


def kinships(junctions: Sequence[Junction]) -> list[Kinship]:
    """Whose table serves each of some distinct junctions, and the factors it is read with.

    The first that is met of a family serves all that come after it; both factors of that one are 1.
    """
    families: dict[Family, list[int]] = {}
    for k, (I01, a1, I02, a2, G, H, _Vbr, m) in enumerate(junctions):
        if H > 0.0 and I01 + I02 <= _NEGLIGIBLE * G * a1:
            families.setdefault((I01, a1, I02, a2, int(H / G * _SAME + 0.5), m), []).append(k)
    kin: list[Kinship] = [(junction, 1.0, 1.0) for junction in junctions]
    for family, members in families.items():
        if len(members) < FEWEST:
            continue
        eldest_of: dict[int, Junction] = {}  # within some octaves of conductance
        for k in members:
            one = junctions[k]
            octaves = floor(log2(one[4]) / MOST_OCTAVES)
            eldest = eldest_of.get(octaves)
            if eldest is None:
                eldest = eldest_of[octaves] = _eldest_of((*family, octaves), one)
            wider = one[6] / eldest[6]
            kin[k] = (eldest, eldest[4] / (one[4] * wider), wider)
    return kin


def _eldest_of(branch: Family, one: Junction) -> Junction:
    """Who was met first of a branch of a family: this one, if nobody was."""
    if branch not in _eldest and len(_eldest) >= _FAMILIES_KEPT:
        _eldest.clear()
    return _eldest.setdefault(branch, one)
