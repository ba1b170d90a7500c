"""The roof as a figure: every module where it lies, its cells by light or by power, its cables."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from pvsim.array import (
    Scenario,
    module_positions,
    roof_rectangles,
)
from pvsim.array.cables import Cables
from pvsim.array.index import array_index
from pvsim.array.layout import free_boxes, unwired_boxes
from pvsim.array.route import array_terminals, drawn_route
from pvsim.circuit.floats import Floats
from pvsim.files.figure.cell_shades import BACK, CellShades, cell_box, has_rim, is_dark, shades_of
from pvsim.files.figure.drawing import LIGHT, MORE, Box, Drawing, Line, Mark, Text
from pvsim.files.figure.sheet import PAGE, MARGIN_px, footer, header
from pvsim.files.figure.text_size import text_width
from pvsim.files.provenance import one_line, provenance
from pvsim.words import _

if TYPE_CHECKING:
    from pvsim.array import ArraySolution

__all__ = ["MOST_CELLS", "RoofPicture", "draw_roof", "roof_picture"]

MOST_CELLS = 6_000  # a figure with more cells shows a sample of them

_MOST_px = 640.0  # high
_STRINGS = ("current", *MORE)  # roles of the strings, one after the other
_BOW = 0.13  # of a lead's length: how far it stands off the straight line
_STRING_px, _LEAST_STRING_px = 16.0, 9.0  # of the box round a string's number
_MODULE_px, _LEAST_MODULE_px = 10.0, 7.0  # type of a module's number


@dataclass(frozen=True, slots=True, kw_only=True)
class RoofPicture:
    """The roof as marks in a field of a sheet.

    Parameters
    ----------
    marks : tuple of Mark
    height : float
        Of what is drawn, in px.
    description : str
        What it shows, for those who cannot see it.
    """

    marks: tuple[Mark, ...]
    height: float
    description: str


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
    shades = shades_of(scenario, solution)
    marks, last = header(one_line(scenario.title), shades.caption)
    top = last + 18
    picture = roof_picture(
        scenario, shades, left=MARGIN_px, top=top, width=PAGE.width - 2 * MARGIN_px, most_height=_MOST_px
    )
    version, name, *limits = provenance(scenario.title)
    notes, height = footer((f"{version}. {name}", *limits), top + picture.height + 22)
    return Drawing(
        width=PAGE.width,
        height=height,
        title=_("Roof: {title}").format(title=one_line(scenario.title)),
        description=picture.description,
        marks=(*marks, *picture.marks, *notes),
        palette=LIGHT,
    )


def roof_picture(
    scenario: Scenario,
    shades: CellShades,
    *,
    left: float,
    top: float,
    width: float,
    most_height: float,
    paper: bool = False,
) -> RoofPicture:
    """The array in a field: modules and cells, and of a mounted one its surfaces and cables.

    Parameters
    ----------
    shades : CellShades
        Of its cells.
    left, top : float
        Where the field begins, in px.
    width, most_height : float
        What it takes at most, in px.
    paper : bool
        Bright cells are white, so that one can draw on them, and modules have their numbers.
    """
    x0, y0, x1, y1 = _extent(scenario)
    scale = min(width / (x1 - x0), most_height / (y1 - y0))
    frame = _Frame(left - x0 * scale, top - y0 * scale, scale)
    marks: list[Mark] = []
    for _spot, box in free_boxes(scenario) if scenario.array.surfaces else ():
        marks.append(frame.outline(box.left_m, box.top_m, box.right_m, box.bottom_m))
    for _module, box in unwired_boxes(scenario):
        marks.append(frame.box(box.left_m, box.top_m, box.right_m, box.bottom_m, "#C9CFCC"))
    for one in module_positions(scenario):
        marks.append(frame.box(one.x_m, one.y_m, one.x_m + one.width_m, one.y_m + one.height_m, BACK))
    marks += _cells(roof_rectangles(scenario), shades, frame, paper)
    marks += _cables(scenario, frame) if scenario.array.surfaces else []
    marks += _module_numbers(scenario, shades, frame) if paper else []
    marks += _string_numbers(scenario, frame)
    return RoofPicture(
        marks=tuple(marks),
        height=(y1 - y0) * scale,
        description=_("{count} cells. {caption}").format(count=len(shades.shares), caption=shades.caption),
    )


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where metres on the roof come to lie on the sheet."""

    left: float
    top: float
    scale: float

    def at(self, x_m: float, y_m: float) -> tuple[float, float]:
        return self.left + float(x_m) * self.scale, self.top + float(y_m) * self.scale

    def box(self, left: float, top: float, right: float, bottom: float, fill: str, hatch: str = "") -> Box:
        x, y = self.at(left, top)
        width, height = (right - left) * self.scale, (bottom - top) * self.scale
        rim = "" if hatch or (width < 4 or height < 4) else "muted"
        return Box(x=x, y=y, width=max(width, 0.5), height=max(height, 0.5), fill=fill, rim=rim, hatch=hatch)

    def outline(self, left: float, top: float, right: float, bottom: float) -> Line:
        corners = ((left, top), (right, top), (right, bottom), (left, bottom), (left, top))
        return Line(points=tuple(self.at(*one) for one in corners), role="muted", dash=(4.0, 3.0))


def _extent(scenario: Scenario) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of all there is to draw, in m."""
    boxes = [
        (one.x_m, one.y_m, one.x_m + one.width_m, one.y_m + one.height_m)
        for one in module_positions(scenario)
    ]
    if scenario.array.surfaces:
        places = [box for _what, box in (*free_boxes(scenario), *unwired_boxes(scenario))]
        boxes += [(box.left_m, box.top_m, box.right_m, box.bottom_m) for box in places]
        cables = scenario.array.cables or Cables()
        x, y = cables.box_x_m, cables.box_y_m
        boxes.append((x - 0.2, y - 0.2, x + 0.2, y + 0.2))
    corners = np.array(boxes)
    least, most = corners[:, :2].min(axis=0).tolist(), corners[:, 2:].max(axis=0).tolist()
    return least[0], least[1], most[0], most[1]


def _cells(rectangles: Floats, shades: CellShades, frame: _Frame, paper: bool) -> list[Mark]:
    marks: list[Mark] = []
    step = max(1, -(-len(shades.shares) // MOST_CELLS))
    columns = (rectangles, shades.shares, shades.eats)
    for sides, share, eats in zip(*(one[::step].tolist() for one in columns), strict=True):
        left, top, right, bottom = sides
        x, y = frame.at(left, top)
        width, height = (right - left) * frame.scale, (bottom - top) * frame.scale
        marks.append(cell_box(x, y, width, height, share, eats=eats, paper=paper))
    return marks


def _cables(scenario: Scenario, frame: _Frame) -> list[Mark]:
    """Each string from the box through its modules and back; extensions thicker; the box itself."""
    terminals = array_terminals(scenario)
    marks: list[Mark] = []
    for number, string in enumerate(drawn_route(scenario).strings):
        at = np.array(string.modules) - 1
        minus = [frame.at(*point) for point in string.minus_run.line_m[::-1, :2].tolist()]
        plus = [frame.at(*point) for point in string.plus_run.line_m[:, :2].tolist()]
        points = list(minus)
        for before, after in zip(at[:-1].tolist(), at[1:].tolist(), strict=True):
            start = frame.at(*terminals.plus_m[before, :2].tolist())
            points += [start, *_bow(start, frame.at(*terminals.minus_m[after, :2].tolist()))]
        line = (*points, *plus)
        marks.append(Line(points=line, role="ground", width=3.6))
        marks.append(Line(points=line, role=_STRINGS[number % len(_STRINGS)], width=1.6))
        for one in string.extensions:
            ends = tuple(frame.at(*point) for point in one.line_m[:, :2].tolist())
            marks.append(Line(points=ends, role="ink", width=2.4, dash=(3.0, 2.0)))
    cables = scenario.array.cables or Cables()
    x, y = frame.at(cables.box_x_m, cables.box_y_m)
    marks.append(Box(x=x - 6, y=y - 5, width=12, height=10, role="ground", rim="ink"))
    return marks


def _bow(start: tuple[float, float], end: tuple[float, float]) -> list[tuple[float, float]]:
    """Points of a bow to the left of the way from start to end, the end among them."""
    (x0, y0), (x1, y1) = start, end
    bend = ((x0 + x1) / 2 + 2 * _BOW * (y1 - y0), (y0 + y1) / 2 - 2 * _BOW * (x1 - x0))
    found = []
    for t in (0.2, 0.4, 0.6, 0.8, 1.0):
        a, b, c = (1 - t) ** 2, 2 * t * (1 - t), t**2
        found.append((a * x0 + b * bend[0] + c * x1, a * y0 + b * bend[1] + c * y1))
    return found


def _string_numbers(scenario: Scenario, frame: _Frame) -> list[Mark]:
    """The number of each string at the module of its negative end, where there is room for it."""
    marks: list[Mark] = []
    for one in module_positions(scenario):
        side = min(_STRING_px, 0.8 * min(one.width_m, one.height_m) * frame.scale)
        if one.module != 1 or side < _LEAST_STRING_px:
            continue
        x, y = frame.at(one.x_m, one.y_m)
        corner = min(3.0, 0.1 * side)
        size = 0.69 * side
        middle = x + corner + side / 2
        marks.append(Box(x=x + corner, y=y + corner, width=side, height=side, role="ground", rim="ink"))
        line, text = y + corner + 0.1 * side + 0.86 * size, str(one.string)
        marks.append(Text(x=middle, y=line, text=text, role="ink", size=size, anchor="middle"))
    return marks


def _module_numbers(scenario: Scenario, shades: CellShades, frame: _Frame) -> list[Mark]:
    """The number of each module within its string, in its lower right corner, where there is room for it."""
    index = array_index(scenario)
    starts, cells = index.cell_start.tolist(), roof_rectangles(scenario)
    marks: list[Mark] = []
    for number, one in enumerate(module_positions(scenario)):
        width, height = one.width_m * frame.scale, one.height_m * frame.scale
        text = str(one.module)
        size = min(_MODULE_px, (width - 3.0) / text_width(text, 1.0), height - 2.0)
        if size < _LEAST_MODULE_px:
            continue
        x, y = frame.at(one.x_m + one.width_m, one.y_m + one.height_m)
        of = slice(starts[number], starts[number + 1])
        ruled = has_rim(float((cells[of, 2:] - cells[of, :2]).min()) * frame.scale)
        if ruled:  # lines would run through it
            wide, high = text_width(text, size) + 2.0, size + 1.0
            marks.append(Box(x=x - wide - 1.0, y=y - high - 1.0, width=wide, height=high, role="ground"))
        role = "ground" if is_dark(float(shades.shares[of].mean())) and not ruled else "ink"
        marks.append(Text(x=x - 2.0, y=y - 2.5, text=text, role=role, size=size, anchor="end"))
    return marks
