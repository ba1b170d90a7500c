"""The last curve that the tracer took, as the desk draws it, and as a file of a measured curve."""

from __future__ import annotations

from io import StringIO
from typing import Any

import numpy as np

from pvsim.app.session.field_work import FieldWork
from pvsim.app.words import _
from pvsim.array.place import describe_place, format_place
from pvsim.field.trace import Trace
from pvsim.files.figure.axis import make_axis
from pvsim.files.figure.drawing import Drawing, Mark, Text
from pvsim.files.figure.key_points import KNEE
from pvsim.files.figure.model import Label, Panel, Point
from pvsim.files.figure.model import Trace as Line
from pvsim.files.figure.placer import Box
from pvsim.files.figure.plot import Manner, draw_panel, ticks_up
from pvsim.files.figure.svg import write_inline_svg
from pvsim.files.figure.text_size import text_width
from pvsim.files.provenance import provenance
from pvsim.numbers import format_number

__all__ = ["curve_csv", "curve_values", "draw_curve"]

ROLE = "more-1"  # as a measured curve has it in its dialog
WIDTH_px, HEIGHT_px, TYPE_px, RIGHT_px = 380.0, 190.0, 13.0, 12.0


def curve_values(work: FieldWork) -> dict[str, Any]:
    """The curve of the last line that took one; {} where none has.

    Returns
    -------
    dict
        `figure`, an SVG element; `where`, `said` and `about`, texts; `comparable`, whether it may be laid
        over the model: in a search that would do the searching.
    """
    taken = work.curve
    if taken is None or not isinstance(taken.shown, Trace):
        return {}
    trace = taken.shown
    return {
        "figure": write_inline_svg(draw_curve(trace)),
        "where": describe_place(taken.place),
        "said": _said(trace),
        "about": _("{count} points; {light} in its plane, {warmth} on its back, as read beside it").format(
            count=trace.voltage_V.size,
            light=format_number(trace.irradiance.value, "W/m²", digits=3),
            warmth=format_number(trace.temperature.value, "°C", digits=3),
        ),
        "comparable": work.case is None or work.over,
    }


def draw_curve(trace: Trace) -> Drawing:
    """Its points as they were read, with the one of the greatest power."""
    V, I = trace.voltage_V, trace.current_A
    best = int(np.argmax(trace.power_W))
    across = make_axis(
        (min(0.0, float(V.min())), 1.04 * max(float(V.max()), 0.1)),
        _("Voltage in V"),
        counts=(6, 5, 4),
    )
    up = make_axis(
        (min(0.0, float(I.min())), 1.14 * max(float(I.max()), 0.1)), _("Current in A"), counts=(5, 4, 3)
    )
    label = Label(
        x=float(V[best]),
        y=float(I[best]),
        text=format_number(float(trace.power_W[best]), "W", digits=4),
        role=ROLE,
        prefer=KNEE,
    )
    panel = Panel(
        across=across,
        up=up,
        traces=(Line(x=V, y=I, role=ROLE, dotted=True),),
        points=(Point(x=float(V[best]), y=float(I[best]), role=ROLE, radius=5.0),),
        labels=(label,),
    )
    left = 14.0 + max(text_width(one.text, TYPE_px) for one in ticks_up(up, HEIGHT_px, TYPE_px))
    box = Box(x=left, y=1.9 * TYPE_px, width=WIDTH_px - left - RIGHT_px, height=HEIGHT_px)
    foot = box.y + box.height + 3.0 * TYPE_px
    marks: list[Mark] = [
        Text(x=2.0, y=1.2 * TYPE_px, text=up.title, role="muted", size=TYPE_px),
        *draw_panel(panel, box, Manner(type_px=TYPE_px, margin_px=RIGHT_px)),
        Text(x=WIDTH_px - RIGHT_px, y=foot, text=across.title, role="muted", size=TYPE_px, anchor="end"),
    ]
    return Drawing(
        width=WIDTH_px,
        height=foot + 0.5 * TYPE_px,
        title=_("Traced curve"),
        description=_said(trace),
        marks=tuple(marks),
        palette={},
    )


def curve_csv(work: FieldWork, title: str) -> str:
    """Its points, below the light and the warmth that were read beside them; "" where none was taken."""
    taken = work.curve
    if taken is None or not isinstance(taken.shown, Trace):
        return ""
    trace, out = taken.shown, StringIO()
    out.writelines(f"# {about}\n" for about in provenance(title))
    out.write(f"# I-V tracer at {format_place(taken.place)}\n")
    out.write(f"# Irradiance (W/m2): {trace.irradiance.value:.1f}\n")
    out.write(f"# Module temperature (degC): {trace.temperature.value:.1f}\n")
    out.write("voltage_V,current_A\n")
    out.writelines(f"{v:.6g},{i:.6g}\n" for v, i in zip(trace.voltage_V, trace.current_A, strict=True))
    return out.getvalue()


def _said(trace: Trace) -> str:
    best = int(np.argmax(trace.power_W))
    return _(
        "short-circuit current {isc}, open-circuit voltage {voc}, greatest power {power} at {at}"
    ).format(
        isc=format_number(float(trace.current_A[0]), "A", digits=4),
        voc=format_number(float(trace.voltage_V[-1]), "V", digits=4),
        power=format_number(float(trace.power_W[best]), "W", digits=4),
        at=format_number(float(trace.voltage_V[best]), "V", digits=4),
    )
