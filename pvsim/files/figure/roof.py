"""The roof as a figure: every module where it lies, its cells by light or by power."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from pvsim.array import (
    Scenario,
    cell_irradiance,
    module_positions,
    roof_rectangles,
    roof_size,
)
from pvsim.circuit.floats import Floats
from pvsim.files.figure.drawing import LIGHT, Box, Drawing, Mark
from pvsim.files.figure.sheet import PAGE, MARGIN_px, footer, header
from pvsim.files.provenance import one_line, provenance
from pvsim.numbers import significant
from pvsim.reading.eating import eating_cells

if TYPE_CHECKING:
    from pvsim.array import ArraySolution

MOST_CELLS = 6_000  # a figure with more cells shows a sample of them

_MOST_px = 640.0  # high
_DARKEST, _BRIGHTEST = (0x12, 0x1C, 0x2B), (0x9C, 0xC7, 0xE6)
_EATS = "power"  # and hatched, so that colour is never alone


def draw_roof(scenario: Scenario, solution: ArraySolution | None = None) -> Drawing:
    """Draw the array as it lies on the roof.

    Parameters
    ----------
    scenario : Scenario
        What to draw.
    solution : ArraySolution or None
        With it, cells are shown by the power they deliver, and those that eat power are hatched;
        without it, by the light that reaches them.

    Returns
    -------
    Drawing
        With the meaning of its shades in words.
    """
    width_m, height_m = roof_size(scenario)
    scale = min((PAGE.width - 2 * MARGIN_px) / width_m, _MOST_px / height_m)
    values = cell_irradiance(scenario) if solution is None else solution.cells.power_W
    unit, word = ("W/m2", "light") if solution is None else ("W", "power")
    top = max(float(values.max()), 1e-9)
    caption = f"Cells by {word}, bright is {significant(top)} {unit}"
    eats = np.zeros(len(values), dtype=bool) if solution is None else eating_cells(solution)
    if eats.any():
        words = "cell eats" if eats.sum() == 1 else "cells eat"
        caption += f"; {eats.sum()} hatched {words} power, up to {significant(-float(values.min()))} W"
    marks, last = header(one_line(scenario.title), caption)
    top_px = last + 18
    for module in module_positions(scenario):
        marks.append(
            Box(
                x=MARGIN_px + module.x_m * scale,
                y=top_px + module.y_m * scale,
                width=module.width_m * scale,
                height=module.height_m * scale,
                fill="#E4E8E6",
                rim="muted",
            )
        )
    marks += _cells(roof_rectangles(scenario), values / top, eats, scale, top_px)
    version, name, *limits = provenance(scenario.title)
    notes, height = footer((f"{version}. {name}", *limits), top_px + height_m * scale + 22)
    return Drawing(
        width=PAGE.width,
        height=height,
        title=f"Roof: {one_line(scenario.title)}",
        description=f"{len(values)} cells. {caption}",
        marks=(*marks, *notes),
        palette=LIGHT,
    )


def _cells(
    rectangles: Floats, shares: Floats, eats: NDArray[np.bool_], scale: float, top_px: float
) -> list[Mark]:
    marks: list[Mark] = []
    step = max(1, -(-len(shares) // MOST_CELLS))
    columns = zip(rectangles[::step].tolist(), shares[::step].tolist(), eats[::step].tolist(), strict=True)
    for (left, top, right, bottom), share, eating in columns:
        marks.append(
            Box(
                x=MARGIN_px + left * scale,
                y=top_px + top * scale,
                width=max((right - left) * scale, 0.5),
                height=max((bottom - top) * scale, 0.5),
                fill="#FFFFFF" if eating else _shade(share),
                hatch=_EATS if eating else "",
            )
        )
    return marks


def _shade(share: float) -> str:
    bounded = float(np.clip(share, 0.0, 1.0))
    mixed = (round(a + bounded * (b - a)) for a, b in zip(_DARKEST, _BRIGHTEST, strict=True))
    return "#" + "".join(f"{one:02X}" for one in mixed)
