"""I-V above P-V characteristics as a figure that names its units, its version and its limits."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from pvsim.circuit.floats import Floats
from pvsim.circuit.solution import PowerPoint
from pvsim.errors import FileError
from pvsim.files.curve import Curve
from pvsim.files.figure.axis import Axis, make_axis
from pvsim.files.figure.drawing import DARK, LIGHT, MORE, Drawing
from pvsim.files.figure.model import Entry, Figure, Label, Panel, Point, Trace
from pvsim.files.figure.sheet import PAGE, Sheet, lay_out
from pvsim.files.provenance import one_line, provenance
from pvsim.numbers import beside, significant
from pvsim.words import _, ngettext

__all__ = ["MAX_CURVES", "characteristic_figure", "describe_curve", "draw_curves"]

MAX_CURVES = 6

_DASHES: tuple[tuple[float, ...], ...] = ((), (9, 4), (2, 3), (10, 3, 2, 3), (5, 3), (1, 4))
_BEFORE_DASH = (6.0, 4.0)
_LONGEST_NAME = 40  # signs
_ABOVE = (4, 6, 7, 0, 1, 5, 2, 3)  # where a maximum of power likes its label


def draw_curves(
    curves: Sequence[Curve],
    *,
    title: str,
    window_V: tuple[float, float] | None = None,
    theme: str = "light",
    sheet: Sheet = PAGE,
) -> Drawing:
    """Draw I-V above P-V, on one voltage axis.

    Parameters
    ----------
    curves : sequence of Curve
        1 to MAX_CURVES; the first that is not `before` is the one described in words.
    title : str
        Of the scenario.
    window_V : (least, most) or None
        Voltages shown; by default a little more than the quadrant that delivers power.
    theme : "light" or "dark"
        Colours.
    sheet : Sheet
        How wide, and how large its type.

    Raises
    ------
    FileError
        If there is no curve, or too many.
    """
    figure = characteristic_figure(curves, title=title, window_V=window_V)
    return lay_out(figure, DARK if theme == "dark" else LIGHT, sheet)


def characteristic_figure(
    curves: Sequence[Curve], *, title: str, window_V: tuple[float, float] | None = None
) -> Figure:
    """What a figure of these curves shows; see draw_curves."""
    if not 1 <= len(curves) <= MAX_CURVES:
        raise FileError(
            f"the figure has {len(curves)} curves",
            expected=f"from 1 to {MAX_CURVES}",
            mend="Draw the others in a second figure",
        )
    main = _main(curves)
    window = window_V or _window(curves)
    across = make_axis(window, _("Voltage in V"), counts=(6, 4, 3, 2))
    said = describe_curve(main)
    version, scenario, *limits = provenance(title)
    return Figure(
        heading=one_line(_(title)),
        said=one_line(f"{main.label}: {said}" if main.label else said),
        legend=_legend(curves),
        panels=(
            _panel(curves, across, _up(curves, window, "current_A"), "current_A"),
            _panel(curves, across, _up(curves, window, "power_W"), "power_W"),
        ),
        notes=(f"{version}. {scenario}", *limits),
        title=_("I-V and P-V characteristic: {title}").format(title=one_line(_(title))),
        description=". ".join(
            f"{one_line(curve.label) or _('Characteristic')}: {describe_curve(curve)}"
            for curve in [main, *(curve for curve in curves if curve.measured and curve is not main)]
        ),
    )


def describe_curve(curve: Curve) -> str:
    """Say a curve's key points in words."""
    voltage, current = curve.voltage_V, curve.current_A
    words = []
    isc, voc = _isc(curve), _voc(curve)
    if voltage.min() <= 0 <= voltage.max():
        words.append(_("Isc {current} A").format(current=significant(isc)))
    if current.min() <= 0 <= current.max():
        words.append(_("Voc {voltage} V").format(voltage=significant(voc)))
    if curve.mpps:
        best = max(curve.mpps, key=lambda point: point.power_W)
        words.append(
            _("MPP {power} W at {voltage} V and {current} A").format(
                power=significant(best.power_W),
                voltage=beside(best.voltage_V, voc),
                current=beside(best.current_A, isc),
            )
        )
        if len(curve.mpps) > 1:
            words.append(_("{count} local maxima of power").format(count=len(curve.mpps)))
    top = int(np.argmax(curve.power_W))
    if curve.measured and curve.power_W[top] > 0:
        words.append(
            _("at most {power} W at {voltage} V and {current} A").format(
                power=significant(curve.power_W[top]),
                voltage=beside(voltage[top], voc),
                current=beside(current[top], isc),
            )
        )
    points = ngettext("{count} point", "{count} points", len(voltage)).format(count=len(voltage))
    return ", ".join(words) or points


def _main(curves: Sequence[Curve]) -> Curve:
    return next((curve for curve in curves if not curve.before), curves[0])


def _isc(curve: Curve) -> float:
    order = np.argsort(curve.voltage_V, kind="stable")  # a measured one may have been taken from Voc down
    return float(np.interp(0.0, curve.voltage_V[order], curve.current_A[order]))


def _voc(curve: Curve) -> float:
    order = np.argsort(curve.current_A, kind="stable")
    return float(np.interp(0.0, curve.current_A[order], curve.voltage_V[order]))


def _end(curve: Curve) -> float:
    """Voc in V; the highest voltage where a measured curve stops short of it."""
    return _voc(curve) if curve.current_A.min() < 1e-6 else float(curve.voltage_V.max())


def _window(curves: Sequence[Curve]) -> tuple[float, float]:
    """From a little below 0 V to a little beyond the highest Voc; the whole curve in the dark."""
    tops = [_end(curve) for curve in curves if curve.current_A.max() > 1e-6]
    top = max(tops, default=0.0)
    if top <= 1e-3:
        return float(min(c.voltage_V.min() for c in curves)), float(max(c.voltage_V.max() for c in curves))
    return -0.06 * top, 1.06 * top


def _span(curves: Sequence[Curve], window: tuple[float, float], name: str) -> tuple[float, float]:
    values: list[Floats] = []
    for curve in curves:
        inside = (curve.voltage_V >= max(window[0], 0.0)) & (curve.voltage_V <= window[1])
        values.append(getattr(curve, name)[inside])
    seen = np.concatenate([*values, np.zeros(1)])
    top = float(seen.max())
    if top <= 1e-9:
        return float(seen.min()) - 1e-3, 1e-3
    return -0.07 * top, 1.18 * top


def _up(curves: Sequence[Curve], window: tuple[float, float], name: str) -> Axis:
    title = _("Current in A") if name == "current_A" else _("Power in W")
    return make_axis(_span(curves, window, name), title)


def _panel(curves: Sequence[Curve], across: Axis, up: Axis, name: str) -> Panel:
    """One quantity over the voltage; what is now lies over what was, and over what was measured."""
    beneath = sorted(enumerate(curves), key=lambda pair: not (pair[1].before or pair[1].measured))
    traces, points = [], []
    for position, curve in beneath:
        role, dash = _style(curves, position, name)
        width = 1.6 if curve.before else 2.4
        x, y = curve.voltage_V, getattr(curve, name)
        traces.append(Trace(x=x, y=y, role=role, width=width, dash=dash, dotted=curve.measured))
        for number, best in enumerate(_maxima(curve)):
            radius = 4.0 if number or curve.before else 5.5
            points.append(Point(x=best.voltage_V, y=getattr(best, name), role=role, radius=radius))
    labels = _labels(curves) if name == "power_W" else ()
    return Panel(across=across, up=up, traces=tuple(traces), points=tuple(points), labels=labels)


def _labels(curves: Sequence[Curve]) -> tuple[Label, ...]:
    """The powers of the main curve's maxima, the greatest first."""
    main = _main(curves)
    maxima = _maxima(main)
    role, _dash = _style(curves, curves.index(main), "power_W")
    return tuple(
        Label(
            x=one.voltage_V,
            y=one.power_W,
            text=f"{beside(one.power_W, maxima[0].power_W)} W",
            role=role,
            prefer=_ABOVE,
            must=one is maxima[0],
        )
        for one in maxima
    )


def _maxima(curve: Curve) -> list[PowerPoint]:
    return sorted(curve.mpps, key=lambda point: -point.power_W)


def _style(curves: Sequence[Curve], position: int, name: str) -> tuple[str, tuple[float, ...]]:
    """Role and dashes of a curve; of several a colour stands for each, and not for a quantity."""
    if curves[position].before:
        return "before", _BEFORE_DASH
    rank = sum(not curve.before for curve in curves[:position])
    if rank == 0:
        alone = sum(not curve.before for curve in curves) == 1
        return "power" if alone and name == "power_W" else "current", ()
    return MORE[(rank - 1) % len(MORE)], _DASHES[rank % len(_DASHES)]


def _legend(curves: Sequence[Curve]) -> tuple[Entry, ...]:
    entries = []
    for position, curve in enumerate(curves):
        role, dash = _style(curves, position, "current_A")
        text = _short(curve.label or _unnamed(curve, position))
        if curve.measured and len(curves) == 2:  # there is room to say what was measured
            text = f"{text}: {describe_curve(curve)}"
        entries.append(Entry(text=text, role=role, dash=dash, dotted=curve.measured))
    return tuple(entries)


def _unnamed(curve: Curve, position: int) -> str:
    return _("before") if curve.before else _("curve {number}").format(number=position + 1)


def _short(text: str) -> str:
    line = one_line(text)
    return line if len(line) <= _LONGEST_NAME else line[: _LONGEST_NAME - 3] + "..."
