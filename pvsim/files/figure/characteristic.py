"""I-V above P-V characteristics as a figure that names its units, its version and its limits."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from pvsim.circuit.floats import Floats
from pvsim.errors import FileError
from pvsim.files.curve import Curve
from pvsim.files.figure.axis import Axis, make_axis
from pvsim.files.figure.drawing import DARK, LIGHT, MORE, Drawing
from pvsim.files.figure.key_points import maxima, named
from pvsim.files.figure.model import Entry, Figure, Label, Panel, Point, Trace
from pvsim.files.figure.sheet import PAGE, Sheet, lay_out
from pvsim.files.provenance import one_line, provenance
from pvsim.numbers import beside, significant
from pvsim.reading.difference import Quantity
from pvsim.words import _, ngettext

__all__ = ["MAX_CURVES", "characteristic_figure", "characteristic_panel", "describe_curve", "draw_curves"]

MAX_CURVES = 6

_DASHES: tuple[tuple[float, ...], ...] = ((), (9, 4), (2, 3), (10, 3, 2, 3), (5, 3), (1, 4))
_BEFORE_DASH = (6.0, 4.0)
_LONGEST_NAME = 40  # signs


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
            characteristic_panel(curves, "current", across, _up(curves, window, "current")),
            characteristic_panel(curves, "power", across, _up(curves, window, "power"), labelled=(main,)),
        ),
        notes=(f"{version}. {scenario}", *limits),
        title=_("I-V and P-V characteristic: {title}").format(title=one_line(_(title))),
        description=". ".join(
            (one_line(curve.label) or _("Characteristic")) + f": {describe_curve(curve)}"
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


def characteristic_panel(
    curves: Sequence[Curve], quantity: Quantity, across: Axis, up: Axis, *, labelled: Sequence[Curve] = ()
) -> Panel:
    """One quantity over the voltage; what is now lies over what was, and over what was measured.

    Parameters
    ----------
    curves : sequence of Curve
        The first that is not `before` has the colour of its quantity where it is alone.
    quantity : "current" or "power"
    across, up : Axis
    labelled : sequence of Curve
        Those of them whose maxima of power are labelled, the most important first.
    """
    beneath = sorted(enumerate(curves), key=lambda pair: not (pair[1].before or pair[1].measured))
    traces: list[Trace] = []
    points: list[Point] = []
    for position, curve in beneath:
        role, dash = _style(curves, position, quantity)
        width = 1.6 if curve.before else 2.4
        y = _values(curve, quantity)
        traces.append(Trace(x=curve.voltage_V, y=y, role=role, width=width, dash=dash, dotted=curve.measured))
        points += named(maxima(curve.mpps), quantity, role=role).points
    labels: list[Label] = []
    for curve in labelled:
        role, _dash = _style(curves, curves.index(curve), quantity)
        labels += named(maxima(curve.mpps), quantity, role=role).labels
    return Panel(
        across=across,
        up=up,
        traces=tuple(traces),
        points=tuple(points),
        labels=tuple(labels),
    )


def _values(curve: Curve, quantity: Quantity) -> Floats:
    return curve.current_A if quantity == "current" else curve.power_W


def _span(curves: Sequence[Curve], window: tuple[float, float], quantity: Quantity) -> tuple[float, float]:
    values: list[Floats] = []
    for curve in curves:
        inside = (curve.voltage_V >= max(window[0], 0.0)) & (curve.voltage_V <= window[1])
        values.append(_values(curve, quantity)[inside])
    seen = np.concatenate([*values, np.zeros(1)])
    top = float(seen.max())
    if top <= 1e-9:
        return float(seen.min()) - 1e-3, 1e-3
    return -0.07 * top, 1.18 * top


def _up(curves: Sequence[Curve], window: tuple[float, float], quantity: Quantity) -> Axis:
    title = _("Current in A") if quantity == "current" else _("Power in W")
    return make_axis(_span(curves, window, quantity), title)


def _style(curves: Sequence[Curve], position: int, quantity: Quantity) -> tuple[str, tuple[float, ...]]:
    """Role and dashes of a curve; of several a colour stands for each, and not for a quantity."""
    if curves[position].before:
        return "before", _BEFORE_DASH
    rank = sum(not curve.before for curve in curves[:position])
    if rank == 0:
        alone = sum(not curve.before for curve in curves) == 1
        return quantity if alone else "current", ()
    return MORE[(rank - 1) % len(MORE)], _DASHES[rank % len(_DASHES)]


def _legend(curves: Sequence[Curve]) -> tuple[Entry, ...]:
    entries = []
    for position, curve in enumerate(curves):
        role, dash = _style(curves, position, "current")
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
