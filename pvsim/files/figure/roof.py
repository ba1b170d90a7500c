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
from pvsim.files.figure.drawing import LIGHT, Box, Drawing, Mark, Text
from pvsim.files.provenance import one_line, provenance
from pvsim.numbers import significant
from pvsim.reading.eating import eating_cells

if TYPE_CHECKING:
    from pvsim.array import ArraySolution

WIDTH = 900.0
MOST_CELLS = 6_000  # a figure with more cells shows a sample of them

_MARGIN, _TOP = 24.0, 72.0
_DARKEST, _BRIGHTEST = (0x12, 0x1C, 0x2B), (0x9C, 0xC7, 0xE6)
_EATS = "#B34700"  # and hatched, so that colour is never alone


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
    scale = min((WIDTH - 2 * _MARGIN) / width_m, 640.0 / height_m)
    values = cell_irradiance(scenario) if solution is None else solution.cells.power_W
    unit, word = ("W/m2", "light") if solution is None else ("W", "power")
    top = max(float(values.max()), 1e-9)
    caption = f"Cells by {word}, bright is {significant(top)} {unit}"
    eats = np.zeros(len(values), dtype=bool) if solution is None else eating_cells(solution)
    if eats.any():
        words = "cell eats" if eats.sum() == 1 else "cells eat"
        caption += f"; {eats.sum()} hatched {words} power, up to {significant(-float(values.min()))} W"
    marks: list[Mark] = [
        Text(x=_MARGIN, y=32, text=one_line(scenario.title)[:84], colour=LIGHT.ink, size=19, bold=True),
        Text(x=_MARGIN, y=54, text=caption, colour=LIGHT.ink),
    ]
    for module in module_positions(scenario):
        marks.append(
            Box(
                x=_MARGIN + module.x_m * scale,
                y=_TOP + module.y_m * scale,
                width=module.width_m * scale,
                height=module.height_m * scale,
                fill="#E4E8E6",
                rim=LIGHT.muted,
            )
        )
    marks += _cells(roof_rectangles(scenario), values / top, eats, scale)
    version, name, *limits = provenance(scenario.title)
    lines = (f"{version}. {name}"[:140], *limits)
    foot = _TOP + height_m * scale + 22
    for line, text in enumerate(lines):
        marks.append(Text(x=_MARGIN, y=foot + 13 * line, text=text, colour=LIGHT.muted, size=10.5))
    return Drawing(
        width=WIDTH,
        height=foot + 13 * len(lines),
        title=f"Roof: {one_line(scenario.title)}",
        description=f"{len(values)} cells. {caption}",
        marks=tuple(marks),
        ground=LIGHT.ground,
    )


def _cells(rectangles: Floats, shares: Floats, eats: NDArray[np.bool_], scale: float) -> list[Mark]:
    marks: list[Mark] = []
    step = max(1, -(-len(shares) // MOST_CELLS))
    columns = zip(rectangles[::step].tolist(), shares[::step].tolist(), eats[::step].tolist(), strict=True)
    for (left, top, right, bottom), share, eating in columns:
        marks.append(
            Box(
                x=_MARGIN + left * scale,
                y=_TOP + top * scale,
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
