"""I-V and P-V characteristics as a figure that names its units, its version and its limits."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, floor, hypot, log10
from textwrap import wrap

import numpy as np

from pvsim.circuit.floats import Floats
from pvsim.errors import FileError
from pvsim.files.figure.frame import Axes, clip, make_axes
from pvsim.files.curve import Curve
from pvsim.files.figure.drawing import DARK, LIGHT, Dot, Drawing, Line, Mark, Palette, Text
from pvsim.files.provenance import one_line, provenance
from pvsim.numbers import MINUS, beside, short_number, significant
from pvsim.words import _, ngettext

MAX_CURVES = 6
WIDTH, HEIGHT = 900.0, 690.0

_LEFT, _RIGHT = 64.0, 872.0
_DASHES: tuple[tuple[float, ...], ...] = ((), (9, 4), (2, 3), (10, 3, 2, 3), (5, 3), (1, 4))
_BEFORE_DASH = (6.0, 4.0)
_LABEL_WIDTH = 58.0
_DOT_STEP = 10.0  # px between the points of a measured curve; closer ones would run together
_DOT_RADIUS = 3.2
_MOST_DOTS = 2_000


def draw_curves(
    curves: Sequence[Curve],
    *,
    title: str,
    window_V: tuple[float, float] | None = None,
    theme: str = "light",
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

    Raises
    ------
    FileError
        If there is no curve, or too many.
    """
    if not 1 <= len(curves) <= MAX_CURVES:
        raise FileError(
            f"the figure has {len(curves)} curves",
            expected=f"from 1 to {MAX_CURVES}",
            mend="Draw the others in a second figure",
        )
    palette = DARK if theme == "dark" else LIGHT
    main = _main(curves)
    window = window_V or _window(curves)
    upper = make_axes((_LEFT, 112.0, _RIGHT, 352.0), window, _span(curves, window, "current_A"))
    lower = make_axes((_LEFT, 392.0, _RIGHT, 592.0), window, _span(curves, window, "power_W"))
    summary = describe_curve(main)
    marks: list[Mark] = [
        Text(x=24, y=36, text=_short(_(title), 84), colour=palette.ink, size=19, bold=True),
        Text(
            x=24,
            y=60,
            text=_short(f"{main.label}: {summary}" if main.label else summary, 130),
            colour=palette.ink,
        ),
        *_legend(curves, palette),
        *_frame(upper, _("Current in A"), palette, last=False),
        *_frame(lower, _("Power in W"), palette, last=True),
    ]
    for axes, name in ((upper, "current_A"), (lower, "power_W")):
        marks += _lines(axes, curves, name, palette)
    marks += _footer(title, palette)
    return Drawing(
        width=WIDTH,
        height=HEIGHT,
        title=_("I-V and P-V characteristic: {title}").format(title=one_line(_(title))),
        description=". ".join(
            f"{one_line(curve.label) or _('Characteristic')}: {describe_curve(curve)}"
            for curve in [main, *(curve for curve in curves if curve.measured and curve is not main)]
        ),
        marks=tuple(marks),
        ground=palette.ground,
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


def _frame(axes: Axes, caption: str, palette: Palette, *, last: bool) -> list[Mark]:
    marks: list[Mark] = [Text(x=axes.left - 40, y=axes.top - 10, text=caption, colour=palette.muted, size=12)]
    for value in ticks(axes.y_least, axes.y_most, 5):
        y = axes.y(value)
        colour = palette.muted if value == 0 else palette.rule
        marks.append(Line(points=((axes.left, y), (axes.right, y)), colour=colour))
        marks.append(
            Text(x=axes.left - 8, y=y + 4, text=tick_text(value), colour=palette.ink, size=12, anchor="end")
        )
    for value in ticks(axes.x_least, axes.x_most, 9):
        x = axes.x(value)
        colour = palette.muted if value == 0 else palette.rule
        marks.append(Line(points=((x, axes.top), (x, axes.bottom)), colour=colour))
        if last:
            y = axes.bottom + 18
            marks.append(Text(x=x, y=y, text=tick_text(value), colour=palette.ink, size=12, anchor="middle"))
    if last:
        place = axes.bottom + 36
        marks.append(
            Text(x=axes.right, y=place, text=_("Voltage in V"), colour=palette.muted, size=12, anchor="end")
        )
    return marks


def _lines(axes: Axes, curves: Sequence[Curve], name: str, palette: Palette) -> list[Mark]:
    marks: list[Mark] = []
    main = _main(curves)
    beneath = sorted(enumerate(curves), key=lambda pair: not (pair[1].before or pair[1].measured))
    for position, curve in beneath:
        colour, dash = _style(curves, position, name, palette)
        if curve.measured:
            marks += _dots(axes, curve, name, colour)
            continue
        width = 1.6 if curve.before else 2.4
        for piece in clip(axes, curve.voltage_V, getattr(curve, name)):
            marks.append(Line(points=piece, colour=colour, width=width, dash=dash))
    drawn = [point for mark in marks if isinstance(mark, Line) for point in mark.points]
    for position, curve in beneath:  # what is now lies over what was
        colour, _dash = _style(curves, position, name, palette)
        labels: list[float] = []  # where on the x axis one stands already
        most = max((point.power_W for point in curve.mpps), default=0.0)
        for point in sorted(curve.mpps, key=lambda point: -point.power_W):
            x, y = axes.x(point.voltage_V), axes.y(getattr(point, name))
            if not axes.holds(x, y):
                continue
            marks.append(Dot(x=x, y=y, radius=4 if labels or curve.before else 5.5, colour=colour))
            if name == "power_W" and curve is main and all(abs(x - one) > _LABEL_WIDTH for one in labels):
                text = f"{beside(point.power_W, most)} W"
                at = _free(axes, x, y, drawn)
                marks.append(
                    Text(x=at[0], y=at[1], text=text, colour=colour, size=12, anchor="middle", bold=True)
                )
            labels.append(x)
    return marks


def _dots(axes: Axes, curve: Curve, name: str, colour: str) -> list[Dot]:
    """The points of a measured curve, those left out that would touch the one before."""
    step = -(-curve.voltage_V.size // _MOST_DOTS)
    values = zip(curve.voltage_V[::step].tolist(), getattr(curve, name)[::step].tolist(), strict=True)
    dots: list[Dot] = []
    for x, y in ((axes.x(voltage), axes.y(value)) for voltage, value in values):
        if axes.holds(x, y) and not (dots and hypot(x - dots[-1].x, y - dots[-1].y) < _DOT_STEP):
            dots.append(Dot(x=x, y=y, radius=_DOT_RADIUS, colour=colour))
    return dots


def _free(axes: Axes, x: float, y: float, drawn: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """Where a label of _LABEL_WIDTH beside a point covers least of the curves; above it if that is free."""
    half = _LABEL_WIDTH / 2
    corners = np.array(drawn)
    steps = np.linspace(0.0, 1.0, 8)[:, None, None]  # of lines between far corners
    dense = (corners[:-1] + steps * np.diff(corners, axis=0)).reshape(-1, 2)

    def cost(place: tuple[float, float]) -> tuple[bool, int]:
        left, top = place[0] - half, place[1] - 11
        out = not (axes.holds(left, top) and axes.holds(place[0] + half, place[1] + 3))
        inside = (abs(dense[:, 0] - place[0]) < half) & (abs(dense[:, 1] - place[1] + 4) < 8)
        return out, int(inside.sum())

    aside = half + 9
    ways = [(0, -10), (aside, 4), (-aside, 4), (aside, -8), (-aside, -8), (0, 22), (0, -26), (0, 38)]
    return min(((x + dx, y + dy) for dx, dy in ways), key=cost)


def _style(
    curves: Sequence[Curve], position: int, name: str, palette: Palette
) -> tuple[str, tuple[float, ...]]:
    if curves[position].before:
        return palette.before, _BEFORE_DASH
    rank = sum(not curve.before for curve in curves[:position])
    if rank == 0:
        if (
            sum(not curve.before for curve in curves) > 1
        ):  # then a colour stands for a curve, not for a quantity
            return palette.current, ()
        return (palette.current if name == "current_A" else palette.power), ()
    return palette.more[(rank - 1) % len(palette.more)], _DASHES[rank % len(_DASHES)]


def _legend(curves: Sequence[Curve], palette: Palette) -> list[Mark]:
    if len(curves) < 2:
        return []
    marks: list[Mark] = []
    x = 24.0
    for position, curve in enumerate(curves):
        colour, dash = _style(curves, position, "current_A", palette)
        text = _short(curve.label or _unnamed(curve, position), 18)
        if curve.measured:
            marks += [Dot(x=x + 4 + 10 * k, y=79, radius=_DOT_RADIUS, colour=colour) for k in range(3)]
            if len(curves) == 2:  # there is room to say what was measured
                text = f"{text}: {describe_curve(curve)}"
        else:
            marks.append(Line(points=((x, 79), (x + 28, 79)), colour=colour, width=2.4, dash=dash))
        marks.append(Text(x=x + 35, y=83, text=text, colour=palette.ink, size=12))
        x += 35 + 7 * len(text) + 18
    return marks


def _unnamed(curve: Curve, position: int) -> str:
    return _("before") if curve.before else _("curve {number}").format(number=position + 1)


def _footer(title: str, palette: Palette) -> list[Mark]:
    version, scenario, *limits = provenance(title)
    lines = [_short(f"{version}. {scenario}", 140)]
    for limit in limits:
        lines += wrap(limit, 165)
    first = HEIGHT - 12 - 13 * (len(lines) - 1)
    return [
        Text(x=24, y=first + 13 * k, text=line, colour=palette.muted, size=10.5)
        for k, line in enumerate(lines)
    ]


def _short(text: str, most: int) -> str:
    line = one_line(text)
    return line if len(line) <= most else line[: most - 3] + "..."


def ticks(least: float, most: float, count: int) -> list[float]:
    """Round values from `least` to `most`, about `count` of them."""
    raw = (most - least) / count
    scale = 10.0 ** floor(log10(raw))
    step = next(one * scale for one in (1, 2, 5, 10) if one * scale >= raw * 0.999)
    return [round(k * step, 12) for k in range(ceil(least / step), floor(most / step) + 1)]


def tick_text(value: float) -> str:
    """A tick's number, with a true minus sign."""
    return short_number(value, 10, minus=MINUS)
