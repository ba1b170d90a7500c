"""One module of an array on paper: each cell with its number, each substring with the name of its diode."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from pvsim.array.index import array_index, cell_slice
from pvsim.array.layout import module_positions, turned_rectangles
from pvsim.array.module import ModuleType, module_size, substring_cells
from pvsim.array.place import Place
from pvsim.array.scenario import Scenario, module_type
from pvsim.circuit.floats import Floats
from pvsim.files.figure.cell_shades import BACK, CellShades, cell_box, is_dark
from pvsim.files.figure.drawing import Box, Line, Mark, Points, Text
from pvsim.files.figure.text_size import text_width
from pvsim.words import _

__all__ = ["ModulePicture", "module_picture"]

# Type of the numbers; a sheet is printed at some 0.7 pt a px, and what is smaller than 6 pt is hard to read.
_LARGEST_px, _SMALLEST_px = 10.0, 8.5
_AROUND_px = 3.0  # what a cell has more than its number, each way
_NAME_px = 10.0  # type of the names of diodes
_ABOVE_px, _BESIDE_px = 17.0, 22.0  # what these take above substrings, or beside them
_TICK_px = 3.0  # how long the ends of a bracket are
_CLEAR_px = 3.0  # between brackets and the module
_ON_ITS_SIDE = {270: 0, 90: 180}  # how a lying module is turned, and the same one upright; see turn_of


@dataclass(frozen=True, slots=True, kw_only=True)
class ModulePicture:
    """A module as marks in a field of a sheet.

    Parameters
    ----------
    marks : tuple of Mark
    height : float
        Of what is drawn, in px.
    caption : str
        What the names of diodes mean; empty where it has none.
    """

    marks: tuple[Mark, ...]
    height: float
    caption: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Span:
    """Where the cells of a substring that has a diode lie: from, to, in px from the module's corner."""

    diode: int
    start: float
    end: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Laid:
    """A module in one of the ways it can lie, in px from its corner.

    Parameters
    ----------
    width, height : float
    cells : (cells, 4)
        Left, top, right, bottom of each.
    across : bool
        Whether its substrings lie side by side, and not one above another.
    spans : list of _Span
        None where substrings lie in neither way.
    left, top : float
        Room for the names of diodes.
    type_px : float
        Of the numbers; 0 where they have no room.
    """

    width: float
    height: float
    cells: Floats
    across: bool
    spans: list[_Span]
    left: float
    top: float
    type_px: float


def module_picture(
    scenario: Scenario,
    shades: CellShades,
    place: Place,
    *,
    left: float,
    top: float,
    width: float,
    most_height: float,
) -> ModulePicture:
    """A module as it lies on the roof, or upright where only then its cells have room for their numbers.

    Parameters
    ----------
    shades : CellShades
        Of the whole array.
    place : Place
        Of the module.
    left, top : float
        Where the field begins, in px.
    width, most_height : float
        What it takes at most, in px; higher where its cells would have no room for their numbers.
    """
    there = (place.string, place.module)
    spot = next(one for one in module_positions(scenario) if (one.string, one.module) == there)
    kind = module_type(scenario, spot.type)
    laid = _laid(kind, spot.turn_deg, width, most_height)
    upright = False
    if not laid.type_px and spot.turn_deg in _ON_ITS_SIDE:
        stood = _laid(kind, _ON_ITS_SIDE[spot.turn_deg], width, most_height)
        laid, upright = (stood, True) if stood.type_px else (laid, False)
    x0, y0, size = left + laid.left, top + laid.top, laid.type_px
    marks: list[Mark] = [Box(x=x0, y=y0, width=laid.width, height=laid.height, fill=BACK, rim="ink")]
    part = cell_slice(array_index(scenario), place)
    rows = zip(laid.cells.tolist(), shades.shares[part].tolist(), shades.eats[part].tolist(), strict=True)
    for number, ((a, b, c, d), share, eats) in enumerate(rows, start=1):
        marks.append(cell_box(x0 + a, y0 + b, c - a, d - b, share, eats=eats, paper=True))
        if size:
            marks += _number(number, x0 + a, y0 + b, size, dark=is_dark(share) and not eats, hatched=eats)
    for one in laid.spans:
        marks += _above(one, x0, y0) if laid.across else _beside(one, x0, y0)
    said = [_caption(laid.spans), _("The module lies on its side and is drawn upright.") if upright else ""]
    return ModulePicture(
        marks=tuple(marks), height=laid.top + laid.height, caption=" ".join(one for one in said if one)
    )


def _laid(kind: ModuleType, turn_deg: int, width: float, most_height: float) -> _Laid:
    cells = turned_rectangles(kind, turn_deg)
    wide_m, high_m = module_size(kind) if turn_deg % 180 == 0 else module_size(kind)[::-1]
    across, spans = _spans(kind, cells)
    left = _BESIDE_px if spans and not across else 0.0
    top = _ABOVE_px if spans and across else 0.0
    scale = min(max((most_height - top) / high_m, _least_scale(cells)), (width - left) / wide_m)
    return _Laid(
        width=wide_m * scale,
        height=high_m * scale,
        cells=cells * scale,
        across=across,
        spans=[replace(one, start=one.start * scale, end=one.end * scale) for one in spans],
        left=left,
        top=top,
        type_px=_type_px(cells * scale),
    )


def _spans(kind: ModuleType, cells: Floats) -> tuple[bool, list[_Span]]:
    """Whether substrings lie side by side, and where; none where they lie in no order at all."""
    found = []
    for number, one in enumerate(kind.substrings, start=1):
        if one.diode is not None:
            of = cells[[cell - 1 for cell in substring_cells(kind, number)]]
            found.append((number, of[:, :2].min(axis=0).tolist(), of[:, 2:].max(axis=0).tolist()))
    for axis in (0, 1):
        spans = [_Span(diode=number, start=start[axis], end=end[axis]) for number, start, end in found]
        along = sorted(spans, key=lambda span: span.start)
        if all(a.end <= b.start + 1e-9 for a, b in pairwise(along)):
            return axis == 0, spans
    return True, []


def _least_scale(cells: Floats) -> float:
    """At which the smallest of some cells, in m, has room for the longest number."""
    width, height, longest = _narrowest(cells)
    least = max((_SMALLEST_px * longest + _AROUND_px) / width, (_SMALLEST_px + _AROUND_px) / height)
    return least * (1 + 1e-9)  # and nothing lost by rounding


def _type_px(cells: Floats) -> float:
    """Type for the numbers of cells, all in px; 0 where the longest has no room in the smallest cell."""
    width, height, longest = _narrowest(cells)
    size = min(_LARGEST_px, (width - _AROUND_px) / longest, height - _AROUND_px)
    return size if size >= _SMALLEST_px else 0.0


def _narrowest(cells: Floats) -> tuple[float, float, float]:
    """Least width and height of a cell, and how wide the longest number is, in sizes of its type."""
    sizes = cells[:, 2:] - cells[:, :2]
    width, height = sizes.min(axis=0).tolist()
    return width, height, text_width("0" * len(str(len(cells))), 1.0)


def _number(number: int, x: float, y: float, size: float, *, dark: bool, hatched: bool) -> list[Mark]:
    """In the upper left corner of its cell, so that there is room to draw on it."""
    text, role = str(number), "ground" if dark else "ink"
    ground = Box(x=x + 1, y=y + 1, width=text_width(text, size) + 1, height=size + 1, role="ground")
    written = Text(x=x + 1.5, y=y + 0.85 * size + 1, text=text, role=role, size=size)
    return [ground, written] if hatched else [written]


def _above(span: _Span, x0: float, y0: float) -> list[Mark]:
    y, left, right = y0 - _CLEAR_px, x0 + span.start + 1, x0 + span.end - 1
    corners = ((left, y), (left, y - _TICK_px), (right, y - _TICK_px), (right, y))
    middle, line = (left + right) / 2, y - _TICK_px - 2.5
    return [
        *_bracket(corners),
        Text(x=middle, y=line, text=_name(span), role="ink", size=_NAME_px, anchor="middle"),
    ]


def _beside(span: _Span, x0: float, y0: float) -> list[Mark]:
    x, top, bottom = x0 - _CLEAR_px, y0 + span.start + 1, y0 + span.end - 1
    corners = ((x, top), (x - _TICK_px, top), (x - _TICK_px, bottom), (x, bottom))
    line = (top + bottom) / 2 + 0.35 * _NAME_px
    return [
        *_bracket(corners),
        Text(x=x - _TICK_px - 2.0, y=line, text=_name(span), role="ink", size=_NAME_px, anchor="end"),
    ]


def _bracket(corners: Points) -> list[Line]:
    """Straight pieces: on a sheet with blank axes nothing is drawn that might be a curve."""
    return [Line(points=ends, role="ink", width=0.9) for ends in pairwise(corners)]


def _name(span: _Span) -> str:
    return f"D{span.diode}"  # as the page names it in the junction box, in every language


def _caption(spans: Sequence[_Span]) -> str:
    if len(spans) < 2:
        return _("D1 is the bypass diode of substring 1.") if spans else ""
    first, last = spans[0].diode, spans[-1].diode
    said = (
        _("D{first} and D{last} are the bypass diodes of substrings {first} and {last}.")
        if len(spans) == 2
        else _("D{first} to D{last} are the bypass diodes of substrings {first} to {last}.")
    )
    return said.format(first=first, last=last)
