"""The array and its characteristics side by side, as one figure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pvsim.array.solution import ArraySolution
from pvsim.files.curve import Curve
from pvsim.files.figure.cell_shades import shades_of
from pvsim.files.figure.characteristic import draw_curves
from pvsim.files.figure.drawing import Box, Dot, Drawing, Line, Mark, Text
from pvsim.files.figure.roof import roof_picture
from pvsim.files.figure.sheet import MARGIN_px, Sheet
from pvsim.files.figure.text_size import wrapped
from pvsim.words import _

__all__ = ["draw_bench"]

ROOF_px = 600.0
CURVES_px = 700.0
_TOP_px = 74.0  # of the roof, beside the curves' legend
_CAPTION_px = 13.0


def draw_bench(solution: ArraySolution, curves: Sequence[Curve], *, theme: str = "light") -> Drawing:
    """Draw the array as it lies on the roof, with cables where it is mounted, beside I-V above P-V.

    Parameters
    ----------
    solution : ArraySolution
        Cells are shown by the power they deliver.
    curves : sequence of Curve
        As for draw_curves.
    theme : "light" or "dark"
        Colours.

    Raises
    ------
    FileError
        If there is no curve, or too many.
    """
    scenario = solution.scenario
    right = draw_curves(curves, title=scenario.title, theme=theme, sheet=Sheet(width=CURVES_px))
    room = ROOF_px - 2 * MARGIN_px
    shades = shades_of(scenario, solution)
    picture = roof_picture(
        scenario, shades, left=MARGIN_px, top=_TOP_px, width=room, most_height=right.height - _TOP_px - 60.0
    )
    below = _TOP_px + picture.height + 24.0
    caption = [
        Text(x=MARGIN_px, y=below + 17.0 * number, text=line, role="ink", size=_CAPTION_px)
        for number, line in enumerate(wrapped(shades.caption, room, _CAPTION_px))
    ]
    return Drawing(
        width=ROOF_px + CURVES_px,
        height=max(right.height, below + 17.0 * len(caption)),
        title=_("Array and characteristics: {title}").format(title=scenario.title),
        description=f"{picture.description} {right.description}",
        marks=(*picture.marks, *caption, *(_moved(mark, ROOF_px) for mark in right.marks)),
        palette=right.palette,
    )


def _moved(mark: Mark, along: float) -> Mark:
    """A mark farther to the right."""
    if isinstance(mark, Line):
        return replace(mark, points=tuple((x + along, y) for x, y in mark.points))
    if isinstance(mark, Dot | Box | Text):
        return replace(mark, x=mark.x + along)
    raise TypeError(mark)
