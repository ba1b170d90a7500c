"""Small figures beside the text, drawn as SVG from computed data; colours come from the page."""

from __future__ import annotations

import numpy as np

from pvsim.array.part_place import holders
from pvsim.array.place import Place, format_place, level_of
from pvsim.circuit.solution import Characteristic
from pvsim.course.number.evaluation import Readings, value_of
from pvsim.course.number.expression import Path
from pvsim.course.number.quantities import locate
from pvsim.course.text.figure import Figure
from pvsim.files.figure import drawing as marks
from pvsim.files.figure.axis import make_axis
from pvsim.files.figure.model import Panel, Point, Trace
from pvsim.files.figure.placer import Box
from pvsim.files.figure.plot import Manner, draw_panel, ticks_up
from pvsim.files.figure.svg import write_inline_svg
from pvsim.files.figure.text_size import text_width
from pvsim.numbers import MINUS
from pvsim.reading.own_curve import own_curve
from pvsim.words import _, decimal_mark

WIDTH, HEIGHT = 300, 176
LEFT, RIGHT, TOP, BOTTOM = 38, 8, 16, 26
POINTS = 90  # of a curve; more cannot be seen at this size
NUMBERS_px, WORDS_px = 16.4, 17.4  # as static/lesson/lesson.css sets them where type is large
ROW_px, BAR_px = 20, 14
COUNTS = (4, 3, 2)  # of round values along an axis


def draw_figure(figure: Figure, readings: Readings) -> str:
    """The figure as an SVG element with a text for those who do not see it.

    Parameters
    ----------
    figure : Figure
        What to draw.
    readings : Readings
        Now and before; what was before is drawn faint.
    """
    draw = _levels if figure.kind == "levels" else _curve
    return write_inline_svg(draw(figure, readings))


def _curve(figure: Figure, readings: Readings) -> marks.Drawing:
    place = locate(figure.place, readings.now)
    now = own_curve(readings.now.solution, place)
    panel = curve_panel(figure, readings)
    numbers = ticks_up(panel.up, HEIGHT - TOP - BOTTOM, NUMBERS_px)
    left = max(LEFT, 8 + max(text_width(one.text, NUMBERS_px) for one in numbers))
    box = Box(x=left, y=TOP, width=WIDTH - RIGHT - left, height=HEIGHT - TOP - BOTTOM)
    manner = Manner(type_px=NUMBERS_px, lines=False, unit="V", margin_px=RIGHT)
    label = _("{what}: short-circuit current {isc} A, open-circuit voltage {voc} V, greatest power {pmp} W")
    label = label.format(
        what=_("Power against voltage") if figure.kind == "power" else _("Current against voltage"),
        isc=_fixed(now.isc_A, 2),
        voc=_fixed(now.voc_V, 2),
        pmp=_fixed(now.mpp.power_W, 1),
    )
    return _drawing(label, HEIGHT, draw_panel(panel, box, manner))


def curve_panel(figure: Figure, readings: Readings) -> Panel:
    """What the figure of a part's curve shows: now, before where it differs, and where a cell works."""
    place = locate(figure.place, readings.now)
    now = own_curve(readings.now.solution, place)
    before = own_curve(readings.before.solution, place)
    is_power = figure.kind == "power"
    most_V = 1.06 * max(now.voc_V, before.voc_V, 1e-6)
    top = 1.12 * max(_peak(now, is_power), _peak(before, is_power), 1e-6)
    changed = readings.before.scenario != readings.now.scenario
    earlier = [_trace(before, is_power, most_V, "before")] if changed else []
    return Panel(
        across=make_axis((0.0, most_V), "V", counts=COUNTS),
        up=make_axis((0.0, top), "W" if is_power else "A", counts=COUNTS),
        traces=(*earlier, _trace(now, is_power, most_V, figure.kind)),
        points=_operating_point(place, readings, is_power),
    )


def _peak(curve: Characteristic, is_power: bool) -> float:
    return curve.mpp.power_W if is_power else curve.isc_A


def _trace(curve: Characteristic, is_power: bool, most_V: float, role: str) -> Trace:
    volts = np.linspace(0.0, most_V, POINTS)
    currents = np.interp(volts, curve.voltage_V, curve.current_A)
    dash = (4.0, 3.0) if role == "before" else ()
    return Trace(x=volts, y=volts * currents if is_power else currents, role=role, dash=dash)


def _operating_point(place: Place, readings: Readings, is_power: bool) -> tuple[Point, ...]:
    """Where a cell works at present; that of larger parts is where their curve says so."""
    at = f"{place.string}/{place.module}/{place.cell}" if level_of(place) == "cell" else None
    if at is None:
        return ()
    volts = value_of(Path("now", at, "voltage_V"), readings)
    current = value_of(Path("now", at, "current_A"), readings)
    return (Point(x=volts, y=volts * current if is_power else current, role="ink", hollow=True),)


def _levels(figure: Figure, readings: Readings) -> marks.Drawing:
    """Bars: the change of power, in per cent, of the place and of everything that holds it."""
    place = locate(figure.place, readings.now)
    around = holders(readings.now.scenario, place)
    names = {
        "cell": _("cell"),
        "substring": _("substring"),
        "module": _("module"),
        "string": _("string"),
        "array": _("array"),
        "diode": _("diode"),
    }
    rows = [(names[level_of(at)], _percent(format_place(at), readings)) for at in around]
    least = min(-100.0, *(value for _name, value in rows))
    shown = [f"{_signed(value)} %" for _name, value in rows]
    column = max(84.0, *(4 + text_width(name, WORDS_px) for name, _value in rows))
    room = WIDTH - column - 10 - max(text_width(text, WORDS_px, bold=True) for text in shown)
    drawn: list[marks.Mark] = []
    for number, ((name, value), text) in enumerate(zip(rows, shown, strict=True)):
        y = 6.0 + ROW_px * number
        length = min(max(-value, 0.0) / -least * min(room, 150.0), room)
        foot = y + 11
        drawn += [
            marks.Text(x=column, y=foot, text=name, role="muted", size=WORDS_px, anchor="end"),
            marks.Box(x=column + 6, y=y, width=max(length, 0.8), height=BAR_px, role="power"),
            marks.Text(x=column + 10 + length, y=foot, text=text, role="ink", size=WORDS_px, bold=True),
        ]
    changes = (
        _("{name} {change} per cent").format(name=name, change=_signed(value)) for name, value in rows
    )
    label = _("Change of power: {changes}").format(changes=", ".join(changes))
    return _drawing(label, ROW_px * len(rows) + 8, drawn)


def _drawing(label: str, height: float, drawn: list[marks.Mark]) -> marks.Drawing:
    """A drawing without colours of its own: the page's style sheet has one for each role."""
    return marks.Drawing(
        width=WIDTH, height=height, title="", description=label, marks=tuple(drawn), palette={}
    )


def _fixed(value: float, decimals: int) -> str:
    return f"{value:.{decimals}f}".replace(".", decimal_mark())


def _signed(value: float) -> str:
    return f"{value:+.1f}".replace("-", MINUS).replace(".", decimal_mark())


def _percent(place: str, readings: Readings) -> float:
    before = value_of(Path("before", place, "power_W"), readings)
    return 100.0 * value_of(Path("delta", place, "power_W"), readings) / abs(before) if before else 0.0
