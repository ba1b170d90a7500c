"""The array beside its axes, blank or with their curves, as one drawing for paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pvsim.array.layout import module_positions
from pvsim.array.place import Place, describe_place
from pvsim.array.scenario import Scenario
from pvsim.course.number.solved_scenario import solved
from pvsim.exercise.paper.named import large_module
from pvsim.exercise.paper.scene import Scene, curves_of, part_shown, scale_of
from pvsim.files.curve import Curve
from pvsim.files.figure.axis import make_axis
from pvsim.files.figure.cell_shades import CellShades, shades_of
from pvsim.files.figure.characteristic import characteristic_panel, describe_curve
from pvsim.files.figure.drawing import LIGHT, Drawing, Line, Mark, Palette, Text
from pvsim.files.figure.model import Panel
from pvsim.files.figure.module_picture import ModulePicture, module_picture
from pvsim.files.figure.placer import Box
from pvsim.files.figure.plot import Manner, draw_panel
from pvsim.files.figure.roof import RoofPicture, roof_picture
from pvsim.reading.axes import Axes
from pvsim.reading.difference import Quantity
from pvsim.words import _

__all__ = ["PAPER", "blank_panels", "draw_blank", "draw_solved", "solved_panels"]

# Dark enough for a printer without colours: there dashes tell the curves apart.
PAPER: Palette = {**LIGHT, "ink": "#000000", "muted": "#4A4A4A", "rule": "#BFC5C8", "before": "#555555"}

_WIDTH_px = 680.0
_BESIDE_px = 250.0  # of the array, where it stands beside the axes
_TOP_px = 22.0  # for the words above it
_GAP_px = 26.0
_HIGH_px = 120.0  # of the array above the axes, at most
_SHARE = 0.42  # of the height beside the axes, which the array takes at most where a module stands below it
_PANELS_px = (165.0, 145.0)
_BETWEEN_px = 34.0  # for the name of the lower axis
_NUMBERS_px = 42.0  # left of the axes
_TYPE_px = 12.0
_WIDE = 2.6  # width over height: wider arrays stand above the axes
_COUNTS = (8, 5, 4, 3, 2)


def draw_blank(scene: Scene, texts: Sequence[str] = ()) -> tuple[Drawing, str]:
    """The array as it is given, and axes to draw on; with the words below it.

    Parameters
    ----------
    texts : sequence of str
        All that is said beside it: what these name by number has its number in the drawing.
    """
    return _drawn(scene, blank_panels(scene), texts, solved_too=False)


def draw_solved(scene: Scene, texts: Sequence[str] = ()) -> tuple[Drawing, str]:
    """The array after the change, and its curves before and after; with the words below it."""
    return _drawn(scene, solved_panels(scene), texts, solved_too=True)


def blank_panels(scene: Scene) -> tuple[Panel, Panel]:
    """Axes of current and of power, with nothing on them."""
    axes = scale_of(scene)
    return _panel(axes, "current"), _panel(axes, "power")


def solved_panels(scene: Scene) -> tuple[Panel, Panel]:
    """The same axes with the curves."""
    axes, curves = scale_of(scene), curves_of(scene)
    return _panel(axes, "current", curves), _panel(axes, "power", curves)


def _panel(axes: Axes, quantity: Quantity, curves: tuple[Curve, ...] = ()) -> Panel:
    across = make_axis(axes.voltage_V, _("Voltage in V"), counts=_COUNTS)
    title, span = (
        (_("Current in A"), axes.current_A) if quantity == "current" else (_("Power in W"), axes.power_W)
    )
    return characteristic_panel(
        curves, quantity, across, make_axis(span, title, counts=_COUNTS), labelled=curves
    )


def _drawn(
    scene: Scene, panels: tuple[Panel, Panel], texts: Sequence[str], *, solved_too: bool
) -> tuple[Drawing, str]:
    told = solved_too or scene.tells_finish or scene.start is None
    scenario = scene.finish if told or scene.start is None else scene.start
    shades = shades_of(scenario, solved(scenario).solution if solved_too else None)
    array = _array(scenario, shades, large_module(scene, scenario, texts))
    left, top = (_BESIDE_px + _GAP_px, 0.0) if array.beside_axes else (0.0, array.height + 16.0)
    below = sum(_PANELS_px) + _BETWEEN_px + 60.0
    marks: list[Mark] = list(array.marks)
    marks += _axes(panels, left, top)
    place = describe_place(part_shown(scene))
    said = [f"{shades.caption}.", *([array.caption] if array.caption else [])]
    said.append(_("Axes: {place}.").format(place=place))
    if solved_too and scene.start is not None:
        dashed = _("Dashed is in good order, solid is as it is.")
        said.append(dashed if scene.tells_finish else _("Dashed is before, solid is after."))
    elif scene.start is not None and not scene.tells_finish:
        said.append(_("Draw what you expect: dashed before the change, solid after it."))
    caption = " ".join(said)
    curves = curves_of(scene) if solved_too else ()
    spoken = [
        f"{one.label}: {describe_curve(one)}." if one.label else f"{describe_curve(one)}." for one in curves
    ]
    drawing = Drawing(
        width=_WIDTH_px,
        height=max(top + below, array.height),
        title=_("Array and characteristics: {title}").format(title=scenario.title),
        description=" ".join([caption, *spoken]),
        marks=tuple(marks),
        palette=PAPER,
    )
    return drawing, caption


@dataclass(frozen=True, slots=True, kw_only=True)
class _Array:
    """The array, and in it the module whose parts are spoken of: beside the axes, or above them."""

    marks: list[Mark]
    height: float
    caption: str
    beside_axes: bool


def _array(scenario: Scenario, shades: CellShades, module: Place | None) -> _Array:
    title = Text(x=0.0, y=11.0, text=_("The array"), role="ink", size=_TYPE_px, bold=True)
    room = sum(_PANELS_px) + _BETWEEN_px + 20.0  # beside the axes

    def roof(width: float, most_height: float) -> RoofPicture:
        return roof_picture(
            scenario, shades, left=1.0, top=_TOP_px, width=width - 2.0, most_height=most_height, paper=True
        )

    def alone(place: Place, top: float) -> ModulePicture:
        most = room - top + _TOP_px
        return module_picture(
            scenario, shades, place, left=1.0, top=top, width=_BESIDE_px - 2.0, most_height=most
        )

    if len(module_positions(scenario)) == 1:
        one = alone(Place(1, 1), _TOP_px)
        marks = [title, *one.marks]
        return _Array(
            marks=marks, height=_TOP_px + one.height + 2.0, caption=one.caption, beside_axes=True
        )
    beside_axes = module is not None or _WIDTH_px / roof(_WIDTH_px, 1e9).height < _WIDE
    high = room if module is None else _SHARE * room
    picture = roof(_BESIDE_px, high) if beside_axes else roof(_WIDTH_px, _HIGH_px)
    end = _TOP_px + picture.height + 2.0
    marks = [title, *picture.marks]
    if module is None:
        return _Array(marks=marks, height=end, caption="", beside_axes=beside_axes)
    words = _("In it: {place}").format(place=describe_place(module))
    marks.append(Text(x=0.0, y=end + 22.0, text=words, role="ink", size=_TYPE_px, bold=True))
    one = alone(module, end + 30.0)
    marks += one.marks
    height = end + 32.0 + one.height
    return _Array(marks=marks, height=height, caption=one.caption, beside_axes=True)


def _axes(panels: tuple[Panel, Panel], left: float, top: float) -> list[Mark]:
    marks: list[Mark] = []
    x, y = left + _NUMBERS_px, top + 22.0
    width = _WIDTH_px - 16.0 - x
    for panel, height in zip(panels, _PANELS_px, strict=True):
        box = Box(x=x, y=y, width=width, height=height)
        marks.append(Text(x=left, y=y - 9.0, text=panel.up.title, role="ink", size=_TYPE_px, bold=True))
        last = panel is panels[-1]
        marks += draw_panel(panel, box, Manner(type_px=_TYPE_px, numbers=last, margin_px=16.0))
        corners = ((x, y), (x, y + height), (x + width, y + height))
        marks.append(Line(points=corners, role="ink", width=1.2))
        y += height + _BETWEEN_px
    title = panels[-1].across.title
    marks.append(Text(x=x + width, y=y - 2.0, text=title, role="ink", size=_TYPE_px, anchor="end"))
    return marks
