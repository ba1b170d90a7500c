"""The roof as a figure: every module where it lies, its cells by light or by power, its cables."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from pvsim.array import (
    Scenario,
    cell_irradiance,
    module_positions,
    roof_rectangles,
)
from pvsim.array.cables import Cables
from pvsim.array.layout import free_boxes, unwired_boxes
from pvsim.array.route import array_terminals, drawn_route
from pvsim.circuit.floats import Floats
from pvsim.files.figure.drawing import LIGHT, MORE, Box, Drawing, Line, Mark, Text
from pvsim.files.figure.sheet import PAGE, MARGIN_px, footer, header
from pvsim.files.provenance import one_line, provenance
from pvsim.numbers import significant
from pvsim.reading.eating import eating_cells
from pvsim.words import _, ngettext

if TYPE_CHECKING:
    from pvsim.array import ArraySolution

_Colour = tuple[int, int, int]

__all__ = ["MOST_CELLS", "RoofPicture", "draw_roof", "roof_picture"]

MOST_CELLS = 6_000  # a figure with more cells shows a sample of them

_MOST_px = 640.0  # high
_DARKEST, _BRIGHTEST = (0x12, 0x1C, 0x2B), (0x9C, 0xC7, 0xE6)
_ON_PAPER = (0x50, 0x50, 0x50), (0xFF, 0xFF, 0xFF)
_EATS = "power"  # and hatched, so that colour is never alone
_STRINGS = ("current", *MORE)  # roles of the strings, one after the other
_BOW = 0.13  # of a lead's length: how far it stands off the straight line
_NUMBER_px = 11.0


@dataclass(frozen=True, slots=True, kw_only=True)
class RoofPicture:
    """The roof as marks in a field of a sheet.

    Parameters
    ----------
    marks : tuple of Mark
    height : float
        Of what is drawn, in px.
    caption, description : str
        What its shades mean; the same for those who cannot see it.
    """

    marks: tuple[Mark, ...]
    height: float
    caption: str
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
    caption, _eats = _caption(scenario, solution)
    marks, last = header(one_line(scenario.title), caption)
    top = last + 18
    picture = roof_picture(
        scenario, solution, left=MARGIN_px, top=top, width=PAGE.width - 2 * MARGIN_px, most_height=_MOST_px
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
    solution: ArraySolution | None,
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
    left, top : float
        Where the field begins, in px.
    width, most_height : float
        What it takes at most, in px.
    paper : bool
        Bright cells are white, so that one can draw on them.
    """
    x0, y0, x1, y1 = _extent(scenario)
    scale = min(width / (x1 - x0), most_height / (y1 - y0))
    frame = _Frame(left - x0 * scale, top - y0 * scale, scale)
    caption, eats = _caption(scenario, solution)
    values = _values(scenario, solution)
    marks: list[Mark] = []
    for _spot, box in free_boxes(scenario) if scenario.array.surfaces else ():
        marks.append(frame.outline(box.left_m, box.top_m, box.right_m, box.bottom_m))
    for _module, box in unwired_boxes(scenario):
        marks.append(frame.box(box.left_m, box.top_m, box.right_m, box.bottom_m, "#C9CFCC"))
    for one in module_positions(scenario):
        marks.append(frame.box(one.x_m, one.y_m, one.x_m + one.width_m, one.y_m + one.height_m, "#E4E8E6"))
    marks += _cells(roof_rectangles(scenario), values / max(float(values.max()), 1e-9), eats, frame, paper)
    marks += _cables(scenario, frame) if scenario.array.surfaces else []
    marks += _numbers(scenario, frame)
    return RoofPicture(
        marks=tuple(marks),
        height=(y1 - y0) * scale,
        caption=caption,
        description=_("{count} cells. {caption}").format(count=len(values), caption=caption),
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


def _values(scenario: Scenario, solution: ArraySolution | None) -> Floats:
    return cell_irradiance(scenario) if solution is None else np.asarray(solution.cells.power_W)


def _caption(scenario: Scenario, solution: ArraySolution | None) -> tuple[str, NDArray[np.bool_]]:
    """What the shades mean, and which cells are hatched."""
    values = _values(scenario, solution)
    top = significant(max(float(values.max()), 1e-9))
    if solution is None:
        return _("Cells by light, bright is {top} W/m²").format(top=top), np.zeros(len(values), dtype=bool)
    eats = eating_cells(solution)
    caption = _("Cells by power, bright is {top} W").format(top=top)
    if eats.any():
        count = int(eats.sum())
        caption += "; " + ngettext(
            "{count} hatched cell eats power, up to {most} W",
            "{count} hatched cells eat power, up to {most} W",
            count,
        ).format(count=count, most=significant(-float(values.min())))
    return caption, eats


def _cells(
    rectangles: Floats, shares: Floats, eats: NDArray[np.bool_], frame: _Frame, paper: bool
) -> list[Mark]:
    marks: list[Mark] = []
    ends = _ON_PAPER if paper else (_DARKEST, _BRIGHTEST)
    step = max(1, -(-len(shares) // MOST_CELLS))
    columns = zip(rectangles[::step].tolist(), shares[::step].tolist(), eats[::step].tolist(), strict=True)
    for sides, share, eating in columns:
        left, top, right, bottom = sides
        x, y = frame.at(left, top)
        marks.append(
            Box(
                x=x,
                y=y,
                width=max((right - left) * frame.scale, 0.5),
                height=max((bottom - top) * frame.scale, 0.5),
                fill="#FFFFFF" if eating else _shade(share, *ends),
                rim="muted" if paper else "",
                hatch=_EATS if eating else "",
            )
        )
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


def _numbers(scenario: Scenario, frame: _Frame) -> list[Mark]:
    """The number of each string at the module of its negative end, where there is room for it."""
    marks: list[Mark] = []
    for one in module_positions(scenario):
        if one.module != 1 or min(one.width_m, one.height_m) * frame.scale < 2 * _NUMBER_px:
            continue
        x, y = frame.at(one.x_m, one.y_m)
        middle = (x + _NUMBER_px, y + _NUMBER_px)
        corner = (middle[0] - _NUMBER_px + 3, middle[1] - _NUMBER_px + 3)
        side = 2 * _NUMBER_px - 6
        marks.append(Box(x=corner[0], y=corner[1], width=side, height=side, role="ground", rim="ink"))
        marks.append(
            Text(x=middle[0], y=middle[1] + 4, text=str(one.string), role="ink", size=11, anchor="middle")
        )
    return marks


def _shade(share: float, darkest: _Colour, brightest: _Colour) -> str:
    bounded = float(np.clip(share, 0.0, 1.0))
    mixed = (round(a + bounded * (b - a)) for a, b in zip(darkest, brightest, strict=True))
    return "#" + "".join(f"{one:02X}" for one in mixed)
