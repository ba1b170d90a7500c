"""A substring whose cells have the light one asks for."""

from __future__ import annotations

from pvsim.array.catalogue import CATALOGUE
from pvsim.circuit import Cell, Parallel, Series

KIND = CATALOGUE["full-60"]
TYPE, DIODE = KIND.cell, KIND.substrings[0].diode
GOOD = Cell(type=TYPE)
assert DIODE is not None


def substring(*irradiance_W_m2: float) -> Parallel:
    cells = tuple(Cell(type=TYPE, irradiance_W_m2=light) for light in irradiance_W_m2)
    return Parallel((Series(cells), DIODE))
