"""Small figures beside the text, drawn as SVG from computed data; colours come from the page."""

from __future__ import annotations

from html import escape

import numpy as np

from pvsim.array.part_place import holders
from pvsim.array.place import Place, format_place, level_of
from pvsim.circuit.floats import Floats
from pvsim.circuit.solution import Characteristic
from pvsim.course.number.evaluation import Readings, value_of
from pvsim.course.number.expression import Path
from pvsim.course.number.quantities import locate
from pvsim.course.text.figure import Figure
from pvsim.numbers import MINUS, short_number
from pvsim.reading.own_curve import own_curve
from pvsim.words import _, decimal_mark

WIDTH, HEIGHT = 300, 170
LEFT, RIGHT, TOP, BOTTOM = 38, 8, 10, 26
POINTS = 90  # of a curve; more cannot be seen at this size



def draw_figure(figure: Figure, readings: Readings) -> str:
    """The figure as an SVG element with a text for those who do not see it.

    Parameters
    ----------
    figure : Figure
        What to draw.
    readings : Readings
        Now and before; what was before is drawn faint.
    """
    if figure.kind == "levels":
        return _draw_levels(figure, readings)
    return _draw_curve(figure, readings)


def _draw_curve(figure: Figure, readings: Readings) -> str:
    place = locate(figure.place, readings.now)
    now = own_curve(readings.now.solution, place)
    before = own_curve(readings.before.solution, place)
    is_power = figure.kind == "power"
    most_V = 1.06 * max(now.voc_V, before.voc_V, 1e-6)
    top = 1.12 * max(_peak(now, is_power), _peak(before, is_power), 1e-6)
    parts = [_frame(most_V, top, "V", "W" if is_power else "A")]
    if readings.before.scenario != readings.now.scenario:
        parts.append(_line(before, is_power, most_V, top, "before"))
    parts.append(_line(now, is_power, most_V, top, "power" if is_power else "current"))
    parts.append(_operating_point(place, readings, is_power, most_V, top))
    label = _("{what}: short-circuit current {isc} A, open-circuit voltage {voc} V, greatest power {pmp} W")
    label = label.format(
        what=_("Power against voltage") if is_power else _("Current against voltage"),
        isc=_fixed(now.isc_A, 2),
        voc=_fixed(now.voc_V, 2),
        pmp=_fixed(now.mpp.power_W, 1),
    )
    return _svg(label, HEIGHT, parts)


def _peak(curve: Characteristic, is_power: bool) -> float:
    return curve.mpp.power_W if is_power else curve.isc_A


def _line(curve: Characteristic, is_power: bool, most_V: float, top: float, name: str) -> str:
    volts = np.linspace(0.0, most_V, POINTS)
    currents = np.interp(volts, curve.voltage_V, curve.current_A)
    values = volts * currents if is_power else currents
    inside = values >= -0.02 * top
    points = _points(volts[inside], values[inside], most_V, top)
    return f'<polyline class="line line--{name}" points="{points}"/>'


def _operating_point(place: Place, readings: Readings, is_power: bool, most_V: float, top: float) -> str:
    """Where the part works at present, if that lies within the figure."""
    at = f"{place.string}/{place.module}/{place.cell}" if level_of(place) == "cell" else None
    if at is None:
        return ""
    volts = value_of(Path("now", at, "voltage_V"), readings)
    current = value_of(Path("now", at, "current_A"), readings)
    value = volts * current if is_power else current
    if not (0 <= volts <= most_V and 0 <= value <= top):
        return ""
    x, y = _place(volts, value, most_V, top)
    return f'<circle class="point" cx="{x:.1f}" cy="{y:.1f}" r="4"/>'


def _draw_levels(figure: Figure, readings: Readings) -> str:
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
    height = 20 * len(rows) + 8
    least = min(-100.0, *(value for _name, value in rows))
    scale = (WIDTH - 150) / -least
    parts = []
    for number, (name, value) in enumerate(rows):
        y = 6 + 20 * number
        length = max(-value, 0.0) * scale
        shown = f"{_signed(value)} %"
        parts.append(f'<text class="label" x="84" y="{y + 11}" text-anchor="end">{escape(name)}</text>')
        parts.append(f'<rect class="bar" x="90" y="{y}" width="{max(length, 0.8):.1f}" height="14"/>')
        parts.append(f'<text class="value" x="{94 + length:.1f}" y="{y + 11}">{shown}</text>')
    changes = (
        _("{name} {change} per cent").format(name=name, change=_signed(value)) for name, value in rows
    )
    label = _("Change of power: {changes}").format(changes=", ".join(changes))
    return _svg(label, height, parts)


def _fixed(value: float, decimals: int) -> str:
    return f"{value:.{decimals}f}".replace(".", decimal_mark())


def _signed(value: float) -> str:
    return f"{value:+.1f}".replace("-", MINUS).replace(".", decimal_mark())


def _percent(place: str, readings: Readings) -> float:
    before = value_of(Path("before", place, "power_W"), readings)
    return 100.0 * value_of(Path("delta", place, "power_W"), readings) / abs(before) if before else 0.0


def _frame(most_V: float, top: float, x_unit: str, y_unit: str) -> str:
    """Axes with round ticks; the last one across has the unit, so that none runs into it."""
    parts = [
        f'<path class="axis" d="M{LEFT},{TOP} V{HEIGHT - BOTTOM} H{WIDTH - RIGHT}"/>',
        f'<text class="axis__unit" x="4" y="{TOP + 6}">{y_unit}</text>',
    ]
    across = [(_place(tick, 0.0, most_V, top)[0], short_number(tick)) for tick in _ticks(most_V)]
    across = [(x, shown) for x, shown in across if x < WIDTH - RIGHT - 14]
    for x, shown in across:
        told = f"{shown}\u00a0{x_unit}" if x == across[-1][0] else shown
        parts.append(f'<path class="notch" d="M{x:.1f},{HEIGHT - BOTTOM} v4"/>')
        parts.append(
            f'<text class="notch__text" x="{x:.1f}" y="{HEIGHT - 8}" text-anchor="middle">{told}</text>'
        )
    for tick in _ticks(top)[1:]:
        _x, y = _place(0.0, tick, most_V, top)
        shown = short_number(tick)
        if y > TOP + 12:
            parts.append(f'<path class="notch" d="M{LEFT},{y:.1f} h-4"/>')
            parts.append(
                f'<text class="notch__text" x="{LEFT - 6}" y="{y + 4:.1f}" text-anchor="end">{shown}</text>'
            )
    return "".join(parts)


def _ticks(most: float) -> list[float]:
    """From two to five round values from 0 up to `most`."""
    power = 10.0 ** np.floor(np.log10(most))
    for step in (0.2, 0.25, 0.5, 1.0, 2.0):
        if most / (step * power) <= 5:
            return [round(float(k * step * power), 6) for k in range(int(most / (step * power)) + 1)]
    return [0.0, float(most)]


def _place(x: float, y: float, most_x: float, most_y: float) -> tuple[float, float]:
    across = LEFT + (WIDTH - LEFT - RIGHT) * x / most_x
    return across, HEIGHT - BOTTOM - (HEIGHT - TOP - BOTTOM) * y / most_y


def _points(x: Floats, y: Floats, most_x: float, most_y: float) -> str:
    pairs = (_place(float(a), float(b), most_x, most_y) for a, b in zip(x, y, strict=True))
    return " ".join(f"{a:.1f},{b:.1f}" for a, b in pairs)


def _svg(label: str, height: int, parts: list[str]) -> str:
    return (
        f'<svg class="figure" viewBox="0 0 {WIDTH} {height}" role="img" aria-label="{escape(label)}">'
        + "".join(parts)
        + "</svg>"
    )
