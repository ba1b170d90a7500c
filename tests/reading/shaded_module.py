"""A module of three substrings of ten cells, with shade on the first cell of each."""

from __future__ import annotations

from pvsim.array.catalogue import CATALOGUE
from pvsim.circuit import Cell, Parallel, Series

TYPE = CATALOGUE["full-60"].cell
DIODE = CATALOGUE["full-60"].substrings[0].diode


def module(*irradiance_W_m2: float) -> Parallel | Series:
    """Three substrings of ten cells; the first cell of each has the light given."""
    assert DIODE is not None
    parts = []
    for light in irradiance_W_m2:
        cells = (Cell(type=TYPE, irradiance_W_m2=light), *[Cell(type=TYPE)] * 9)
        parts.append(Parallel((Series(cells), DIODE)))
    return Series(tuple(parts))


SOUND = module(1000.0, 1000.0, 1000.0)
SHADED = module(200.0, 1000.0, 1000.0)
