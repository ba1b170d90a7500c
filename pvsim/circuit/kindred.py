"""Junctions that differ in their shunt and breakdown voltage alone share one table.

Forward, where the exponential leads, their voltages are nearly the same. Backward, with w = -v,
s = w / -Vbr, the law of Bishop's term is

    -x = G -Vbr s (1 + a (1 - s)^-m),    a = H / G,

and s is one function of x / (G Vbr) for all that have a and m in common. So the table of one, read at a
current that is scaled and giving a voltage that is scaled, is a start from which one or two of Newton's
steps lead to each of the others. That leaves out the saturation currents, so a junction where they count
beside its shunt, as a diode's, has a table of its own.
"""

from __future__ import annotations

from math import floor, log2

from pvsim.circuit.leaf import Junction

__all__ = ["Kinship", "kin_of"]

MOST_OCTAVES = 3  # of conductance in one family: beyond it a start would be a poor one
_FAMILIES_KEPT = 3000
_NEGLIGIBLE = 0.01  # of the current that the shunt carries at the thermal voltage

Kinship = tuple[Junction, float, float]  # whose table; factor on negative currents; on negative voltages

_eldest: dict[tuple[float, ...], Junction] = {}


def kin_of(junction: Junction) -> Kinship:
    """The junction whose table serves this one, and the factors it is read with.

    The first that is met of a family serves all that come after it; both factors of that one are 1.
    """
    I01, a1, I02, a2, G, H, Vbr, m = junction
    if not H > 0.0 or I01 + I02 > _NEGLIGIBLE * G * a1:
        return junction, 1.0, 1.0
    bend = round(H / G, 12)
    family = (I01, a1, I02, a2, bend, m, floor(log2(G) / MOST_OCTAVES))
    eldest = _eldest.get(family)
    if eldest is None:
        if len(_eldest) >= _FAMILIES_KEPT:
            _eldest.clear()
        eldest = _eldest.setdefault(family, junction)
    if eldest is junction or eldest == junction:
        return eldest, 1.0, 1.0
    wider = Vbr / eldest.breakdown_voltage_V
    return eldest, eldest.conductance_S / (G * wider), wider
