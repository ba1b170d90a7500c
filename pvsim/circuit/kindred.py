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

from collections.abc import Iterable
from math import floor, log2

from pvsim.circuit.leaf import Junction

__all__ = ["Kinship", "kinships"]

FEWEST = 4  # of one family: fewer have tables of their own
MOST_OCTAVES = 3  # of conductance that share a table: beyond them a start would be a poor one
_FAMILIES_KEPT = 3000
_NEGLIGIBLE = 0.01  # of the current that the shunt carries at the thermal voltage

Kinship = tuple[Junction, float, float]  # whose table; factor on negative currents; on negative voltages
Family = tuple[float, ...]

_eldest: dict[Family, Junction] = {}


def kinships(junctions: Iterable[Junction]) -> dict[Junction, Kinship]:
    """Whose table serves each of some junctions, and the factors it is read with.

    The first that is met of a family serves all that come after it; both factors of that one are 1.
    """
    families: dict[Family, list[Junction]] = {}
    kin: dict[Junction, Kinship] = {}
    for junction in junctions:
        kin[junction] = (junction, 1.0, 1.0)
        family = _family(junction)
        if family:
            families.setdefault(family, []).append(junction)
    for family, members in families.items():
        if len(members) < FEWEST:
            continue
        for one in members:
            branch = (*family, floor(log2(one.conductance_S) / MOST_OCTAVES))
            eldest = _eldest.get(branch)
            if eldest is None:
                if len(_eldest) >= _FAMILIES_KEPT:
                    _eldest.clear()
                eldest = _eldest.setdefault(branch, one)
            if one != eldest:
                wider = one.breakdown_voltage_V / eldest.breakdown_voltage_V
                kin[one] = (eldest, eldest.conductance_S / (one.conductance_S * wider), wider)
    return kin


def _family(junction: Junction) -> Family | None:
    I01, a1, I02, a2, G, H, _Vbr, m = junction
    if not H > 0.0 or I01 + I02 > _NEGLIGIBLE * G * a1:
        return None
    return I01, a1, I02, a2, round(H / G, 12), m
