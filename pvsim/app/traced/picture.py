"""A measured curve over the model's as a drawing: the curves, and below them what is missed."""

from __future__ import annotations

import numpy as np

from pvsim.app.words import _
from pvsim.files.figure.axis import Axis, make_axis
from pvsim.files.figure.drawing import Drawing, Mark, Text
from pvsim.files.figure.key_points import ABOVE
from pvsim.files.figure.model import Label, Panel, Point, Trace
from pvsim.files.figure.placer import Box
from pvsim.files.figure.plot import Manner, draw_panel, ticks_up
from pvsim.files.figure.text_size import text_width
from pvsim.numbers import format_number
from pvsim.traced.overlay import Overlay
from pvsim.traced.residual import reaching

__all__ = ["MEASURED", "UNTRANSLATED", "draw_overlay", "overlay_panels"]

# Roles, which the style sheet of the dialog gives their colours.
MEASURED, UNTRANSLATED, MODEL = "more-1", "before", "current"
POINTS = 160  # of the model's curve; more cannot be seen
NARROWEST_px, WIDEST_px = 280.0, 1100.0
SMALL_TYPE_px = 13.0
GAP_px, RIGHT_px = 34.0, 14.0
_BELOW = (0, 3, 2, 5, 1, 7, 6, 4)  # of the measured maximum, whose label leaves the model's its place above


def draw_overlay(overlay: Overlay, *, width_px: float, type_scale: float = 1.0) -> Drawing:
    """The drawing, as wide as there is room for it.

    Parameters
    ----------
    overlay : Overlay
    width_px : float
        Bounded here; it comes from a browser.
    type_scale : float
        1 for type of 13 px.
    """
    width = min(max(width_px, NARROWEST_px), WIDEST_px)
    size = SMALL_TYPE_px * type_scale
    curves, missed = overlay_panels(overlay)
    numbers = [*ticks_up(curves.up, 300.0, size), *ticks_up(missed.up, 110.0, size)]
    left = 14.0 + max(text_width(one.text, size) for one in numbers)
    height, low = min(max(0.42 * width, 210.0), 320.0), min(max(0.15 * width, 84.0), 110.0)
    gap = GAP_px * type_scale
    top = 1.9 * size
    box = Box(x=left, y=top, width=width - left - RIGHT_px, height=height)
    below = Box(x=left, y=top + height + gap, width=box.width, height=low)
    foot = below.y + below.height + 1.5 * size
    marks: list[Mark] = [
        _caption(curves.up.title, top, size),
        *draw_panel(curves, box, Manner(type_px=size, numbers=False, margin_px=RIGHT_px)),
        _caption(missed.up.title, below.y, size),
        *draw_panel(missed, below, Manner(type_px=size, margin_px=RIGHT_px)),
        Text(
            x=width - RIGHT_px,
            y=foot + 1.5 * size,
            text=curves.across.title,
            role="muted",
            size=size,
            anchor="end",
        ),
    ]
    return Drawing(
        width=width,
        height=foot + 2.0 * size,
        title=_("Measured curve and model"),
        description=_described(overlay),
        marks=tuple(marks),
        palette={},
    )


def overlay_panels(overlay: Overlay) -> tuple[Panel, Panel]:
    """What the drawing shows: both curves, and what is missed with an axis of its own."""
    laid, beside = overlay.laid, overlay.beside
    found, modelled = beside.measured, beside.modelled
    most_V = 1.04 * max(found.voc_V, modelled.voc_V)
    across = make_axis((0.0, most_V), _("Voltage in V"), counts=(8, 6, 4, 3, 2))
    up = make_axis((0.0, 1.16 * max(found.isc_A, modelled.isc_A)), _("Current in A"), counts=(6, 5, 4, 3, 2))
    volts = np.linspace(0.0, most_V, POINTS)
    model = reaching(overlay.model, volts)
    earlier = overlay.measured
    moved = overlay.correction is not None
    traces = [
        Trace(x=earlier.voltage_V, y=earlier.current_A, role=UNTRANSLATED, dotted=True),
        Trace(x=volts, y=model, role=MODEL),
        Trace(x=laid.voltage_V, y=laid.current_A, role=MEASURED, dotted=True),
    ]
    names = (
        (found, _("measured {power}"), MEASURED, _BELOW),
        (modelled, _("model {power}"), MODEL, ABOVE),
    )
    curves = Panel(
        across=across,
        up=up,
        traces=tuple(traces if moved else traces[1:]),
        points=tuple(
            Point(x=one.vmp_V, y=one.imp_A, role=role, radius=5.5, hollow=role == MODEL)
            for one, _name, role, _sides in reversed(names)
        ),
        labels=tuple(
            Label(
                x=one.vmp_V,
                y=one.imp_A,
                text=name.format(power=format_number(one.pmp_W, "W", digits=4)),
                role=role,
                prefer=sides,
                must=True,
            )
            for one, name, role, sides in names
        ),
    )
    missed = Panel(
        across=across,
        up=_residual_axis(overlay),
        traces=(Trace(x=beside.voltage_V, y=beside.residual_A, role=MEASURED, dotted=True),),
    )
    return curves, missed


def _residual_axis(overlay: Overlay) -> Axis:
    """Round zero, which is in sight; points beyond open circuit, where both fall, do not set it."""
    beside = overlay.beside
    inside = (beside.voltage_V >= 0.0) & (beside.voltage_V <= beside.modelled.voc_V)
    seen = beside.residual_A[inside]
    room = max(1.12 * float(np.abs(seen).max(initial=0.0)), 0.005 * beside.modelled.isc_A)
    least = -room if seen.min(initial=0.0) < -0.1 * room else -0.25 * room
    most = room if seen.max(initial=0.0) > 0.1 * room else 0.25 * room
    return make_axis((least, most), _("Measured less model, in A"), counts=(4, 3, 2))


def _caption(text: str, y: float, size: float) -> Text:
    return Text(x=2.0, y=y - 0.7 * size, text=text, role="muted", size=size)


def _described(overlay: Overlay) -> str:
    found, modelled = overlay.beside.measured, overlay.beside.modelled
    return _(
        "Current against voltage. Measured: Isc {isc}, Voc {voc}, greatest power {pmp}. Model: Isc {isc2}, "
        "Voc {voc2}, greatest power {pmp2}. Below, what the measured current has more or less than the model."
    ).format(
        isc=format_number(found.isc_A, "A"),
        voc=format_number(found.voc_V, "V"),
        pmp=format_number(found.pmp_W, "W"),
        isc2=format_number(modelled.isc_A, "A"),
        voc2=format_number(modelled.voc_V, "V"),
        pmp2=format_number(modelled.pmp_W, "W"),
    )
