"""How dark each cell of an array is drawn, by its light or by its power, and what that means in words."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from pvsim.array import Scenario, cell_irradiance
from pvsim.circuit.floats import Floats
from pvsim.files.figure.drawing import Box
from pvsim.numbers import significant
from pvsim.prompt import summary
from pvsim.reading.eating import eating_cells
from pvsim.words import _, ngettext

if TYPE_CHECKING:
    from pvsim.array import ArraySolution

__all__ = ["BACK", "CellShades", "cell_box", "has_rim", "is_dark", "shades_of"]

_Colour = tuple[int, int, int]
_DARKEST, _BRIGHTEST = (0x12, 0x1C, 0x2B), (0x9C, 0xC7, 0xE6)
_ON_PAPER = (0x50, 0x50, 0x50), (0xFF, 0xFF, 0xFF)
BACK = "#E4E8E6"  # of a module, between its cells
_EATS = "power"  # and hatched, so that colour is never alone
_LEAST_RIM_px = 5.0  # on paper: rims of smaller cells would run together to one grey
# Share of the brightest below which words on a cell of paper are white: there, at a grey of #757575, white
# and black have the same contrast, 4.6 (WCAG 2.2, relative luminance).
_DARK = 0.21


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CellShades:
    """Every cell of an array, in the order string, module, cell.

    Parameters
    ----------
    shares : (cells,)
        How bright it is drawn, from 0 to 1.
    eats : (cells,)
        Whether it eats power and is hatched.
    caption : str
        What both mean.
    """

    shares: Floats
    eats: NDArray[np.bool_]
    caption: str

    __repr__ = summary


def shades_of(scenario: Scenario, solution: ArraySolution | None) -> CellShades:
    """By the power that cells deliver where the array is solved; else by the light that reaches them."""
    values = cell_irradiance(scenario) if solution is None else np.asarray(solution.cells.power_W)
    most = max(float(values.max()), 1e-9)
    top = significant(most)
    if solution is None:
        caption = _("Cells by light, bright is {top} W/m²").format(top=top)
        return CellShades(shares=values / most, eats=np.zeros(len(values), dtype=bool), caption=caption)
    eats = eating_cells(solution)
    caption = _("Cells by power, bright is {top} W").format(top=top)
    if eats.any():
        count = int(eats.sum())
        caption += "; " + ngettext(
            "{count} hatched cell eats power, up to {most} W",
            "{count} hatched cells eat power, up to {most} W",
            count,
        ).format(count=count, most=significant(-float(values.min())))
    return CellShades(shares=values / most, eats=eats, caption=caption)


def cell_box(
    x: float, y: float, width: float, height: float, share: float, *, eats: bool, paper: bool
) -> Box:
    """A cell of a drawing; on paper a bright one is white, so that one can draw on it."""
    ends = _ON_PAPER if paper else (_DARKEST, _BRIGHTEST)
    return Box(
        x=x,
        y=y,
        width=max(width, 0.5),
        height=max(height, 0.5),
        fill="#FFFFFF" if eats else _shade(share, *ends),
        rim="muted" if paper and has_rim(min(width, height)) else "",
        hatch=_EATS if eats else "",
    )


def has_rim(side: float) -> bool:
    """Whether a cell of paper has a line around it, by its shorter side in px."""
    return side >= _LEAST_RIM_px


def is_dark(share: float) -> bool:
    """Whether what is written on a cell of paper has to be white."""
    return share < _DARK


@lru_cache(maxsize=4096)  # most cells of an array are alike
def _shade(share: float, darkest: _Colour, brightest: _Colour) -> str:
    bounded = min(max(share, 0.0), 1.0)
    mixed = (round(a + bounded * (b - a)) for a, b in zip(darkest, brightest, strict=True))
    return "#" + "".join(f"{one:02X}" for one in mixed)
