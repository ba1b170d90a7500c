"""A figure laid out on a sheet: heading, legend, panels one above the other, and notes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pvsim.files.figure.drawing import Box as Rectangle
from pvsim.files.figure.drawing import Dot, Drawing, Line, Mark, Palette, Text
from pvsim.files.figure.model import Entry, Figure, Panel
from pvsim.files.figure.placer import Box
from pvsim.files.figure.plot import DOT_RADIUS_px, Manner, draw_panel, ticks_up
from pvsim.files.figure.text_size import LINE, shortened, text_width, wrapped

__all__ = ["PAGE", "MARGIN_px", "Sheet", "footer", "header", "lay_out", "lay_out_bare"]

MARGIN_px = 24.0
_HEIGHTS_px = (240.0, 200.0)  # of the panels, from the top; all further ones as high as the last
_BETWEEN_px = 40.0
_SAMPLE_px = 28.0  # of a curve in the legend
_POINT_px = 12.0  # of a point there
_MOST_SAID = 2  # lines


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """How wide a figure is and how large its type; it is as high as it must be.

    Parameters
    ----------
    width : float
        In px.
    type_scale : float
        1 for type of 12 px at the axes.
    """

    width: float = 900.0
    type_scale: float = 1.0


PAGE = Sheet()


def lay_out(figure: Figure, palette: Palette, sheet: Sheet = PAGE) -> Drawing:
    """Draw a figure."""
    marks, y = header(figure.heading, figure.said, sheet)
    drawn, foot = _body(figure, y, sheet)
    notes, height = footer(figure.notes, foot + 18 * sheet.type_scale, sheet)
    return Drawing(
        width=sheet.width,
        height=height,
        title=figure.title,
        description=figure.description,
        marks=(*marks, *drawn, *notes),
        palette=palette,
    )


def lay_out_bare(figure: Figure, sheet: Sheet = PAGE) -> Drawing:
    """Draw a figure without what stands above and below it, for a page that says so itself and has a colour
    for each role; all of its type is of one size."""
    drawn, foot = _body(figure, -6 * sheet.type_scale, sheet)
    return Drawing(
        width=sheet.width,
        height=foot + 6 * sheet.type_scale,
        title=figure.title,
        description=figure.description,
        marks=tuple(drawn),
        palette={},
    )


def _body(figure: Figure, y: float, sheet: Sheet) -> tuple[list[Mark], float]:
    """Legend and panels below a line of text at `y`; and where the last line below them stands."""
    k = sheet.type_scale
    marks, y = _legend(figure.legend, y, sheet)
    top = y + (29 if figure.panels[0].up.title else 14) * k
    type_px = 12 * k
    left = _left(figure.panels, type_px)
    for number, panel in enumerate(figure.panels):
        last = panel is figure.panels[-1]
        height = panel.lines * LINE * type_px or _HEIGHTS_px[min(number, len(_HEIGHTS_px) - 1)]
        box = Box(x=left, y=top, width=sheet.width - MARGIN_px - 4 - left, height=height)
        caption = shortened(panel.up.title, sheet.width - 2 * MARGIN_px, type_px)
        if caption:
            marks.append(Text(x=MARGIN_px, y=top - 10 * k, text=caption, role="muted", size=type_px))
        marks += draw_panel(panel, box, Manner(type_px=type_px, numbers=last))
        top += height + (0 if last else _BETWEEN_px * max(1.0, 0.7 * k))
    foot = top + 36 * k
    right = sheet.width - MARGIN_px - 4
    lines = wrapped(figure.panels[-1].across.title, right - MARGIN_px, type_px)
    for number, line in enumerate(lines):
        y = foot + LINE * type_px * number
        marks.append(Text(x=right, y=y, text=line, role="muted", size=type_px, anchor="end"))
    return marks, foot + LINE * type_px * (len(lines) - 1)


def header(heading: str, said: str, sheet: Sheet = PAGE) -> tuple[list[Mark], float]:
    """What is shown and what it comes to, from the top of a sheet; and where its last line stands."""
    k, width = sheet.type_scale, sheet.width - 2 * MARGIN_px
    title = shortened(heading, width, 19 * k, bold=True)
    marks: list[Mark] = [Text(x=MARGIN_px, y=17 + 19 * k, text=title, role="ink", size=19 * k, bold=True)]
    y = 17 + 43 * k
    lines = wrapped(said, width, 13 * k, most=_MOST_SAID)
    for number, line in enumerate(lines):
        marks.append(Text(x=MARGIN_px, y=y + 17 * k * number, text=line, role="ink", size=13 * k))
    return marks, y + 17 * k * (len(lines) - 1)


def footer(notes: Sequence[str], top: float, sheet: Sheet = PAGE) -> tuple[list[Mark], float]:
    """Notes with their first line at `top`; and the height of a sheet that ends with them."""
    k, size = sheet.type_scale, 10.5 * sheet.type_scale
    lines = [line for note in notes for line in wrapped(note, sheet.width - 2 * MARGIN_px, size)]
    marks: list[Mark] = [
        Text(x=MARGIN_px, y=top + 13 * k * number, text=line, role="muted", size=size)
        for number, line in enumerate(lines)
    ]
    return marks, top + 13 * k * (len(lines) - 1) + 12


def _left(panels: Sequence[Panel], type_px: float) -> float:
    """Where the frames begin: behind the widest number of their vertical axes."""
    ticks = [tick for panel in panels for tick in ticks_up(panel.up, max(_HEIGHTS_px), type_px)]
    if not ticks:
        return MARGIN_px
    widest = max(text_width(tick.text, type_px) for tick in ticks)
    return max(64.0, 8.0 + widest + 8.0)


def _legend(entries: Sequence[Entry], y: float, sheet: Sheet) -> tuple[list[Mark], float]:
    """Names of the curves in rows below the header, and where the last row stands."""
    k, size = sheet.type_scale, 12 * sheet.type_scale
    marks: list[Mark] = []
    y += 23 * k
    if len(entries) < 2:
        return marks, y
    x, right = MARGIN_px, sheet.width - MARGIN_px
    for entry in entries:
        indent = (_POINT_px * k if entry.point else _SAMPLE_px) + 7
        text = shortened(entry.text, right - MARGIN_px - indent, size)
        width = indent + text_width(text, size)
        if x > MARGIN_px and x + width > right:
            x, y = MARGIN_px, y + 20 * k
        middle = y - 4 * k
        if entry.band:
            sample = Rectangle(
                x=x, y=middle - 6 * k, width=_SAMPLE_px, height=12 * k,
                role=entry.role, hatch="muted" if entry.hatched else "",
            )
            marks.append(sample)
        elif entry.point:
            at = x + _POINT_px * k / 2
            marks.append(Dot(x=at, y=middle, radius=5 * k, role=entry.role, shape=entry.point))
        elif entry.dotted:
            for at in (4, 14, 24):
                marks.append(Dot(x=x + at, y=middle, radius=DOT_RADIUS_px, role=entry.role))
        else:
            ends = ((x, middle), (x + _SAMPLE_px, middle))
            marks.append(Line(points=ends, role=entry.role, width=2.4, dash=entry.dash))
        marks.append(Text(x=x + indent, y=y, text=text, role="ink", size=size))
        x += width + 18
    return marks, y
