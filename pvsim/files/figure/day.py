"""Power against the time of a day, as a figure that names its units, its version and its limits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor
from typing import Literal

import numpy as np

from pvsim.circuit.floats import Floats
from pvsim.errors import FileError
from pvsim.files.figure.axis import Axis, Tick, make_axis
from pvsim.files.figure.drawing import DARK, LIGHT, Drawing
from pvsim.files.figure.key_points import ABOVE
from pvsim.files.figure.model import Entry, Figure, Label, Panel, Point, Trace
from pvsim.files.figure.sheet import PAGE, Sheet, lay_out
from pvsim.files.provenance import one_line, provenance
from pvsim.numbers import significant
from pvsim.prompt import summary
from pvsim.words import _

__all__ = ["DayCurve", "day_figure", "draw_day"]

Name = Literal["open", "shaded", "power", "followed"]

# By name: role, width and dashes; what is lost lies over what there would be.
_STYLES: dict[str, tuple[str, float, tuple[float, ...]]] = {
    "open": ("before", 1.8, (6.0, 4.0)),
    "shaded": ("more-1", 2.0, (10.0, 3.0, 2.0, 3.0)),
    "power": ("power", 2.6, ()),
    "followed": ("current", 1.8, (2.0, 3.0)),
}
_HOURS = (1, 2, 3, 6)  # between numbers of the clock


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DayCurve:
    """One way a day could go.

    Parameters
    ----------
    name : "open", "shaded", "power" or "followed"
        What it stands for, which gives it its looks.
    label : str
        For people.
    power_W : (n,)
        At the times of the figure; NaN where it is not known.
    energy_kWh : float
    """

    name: str
    label: str
    power_W: Floats
    energy_kWh: float

    __repr__ = summary


def draw_day(
    hour: Floats,
    curves: Sequence[DayCurve],
    *,
    title: str,
    when: str,
    said: str = "",
    theme: str = "light",
    sheet: Sheet = PAGE,
) -> Drawing:
    """Draw the powers of a day over the clock.

    Parameters
    ----------
    hour : (n,)
        Of the site's clock.
    curves : sequence of DayCurve
        From the lowest to the uppermost.
    title, when : str
        Of the scenario; date and site.
    said : str
        What it comes to; by default the energy of each curve.
    theme : "light" or "dark"
    sheet : Sheet

    Raises
    ------
    FileError
        If there is no curve, or one of another length than the hours, or of no known name.
    """
    figure = day_figure(hour, curves, title=title, when=when, said=said)
    return lay_out(figure, DARK if theme == "dark" else LIGHT, sheet)


def day_figure(hour: Floats, curves: Sequence[DayCurve], *, title: str, when: str, said: str = "") -> Figure:
    """What a figure of these powers shows; see draw_day."""
    if not curves or not len(hour):
        raise FileError(
            "the figure has no power to show",
            expected="the times of a day and at least one curve",
            mend="Play the day first",
        )
    for curve in curves:
        if len(curve.power_W) != len(hour) or curve.name not in _STYLES:
            raise FileError(
                f"the curve {curve.name!r} has {len(curve.power_W)} powers",
                expected=f"{len(hour)} powers, as many as there are times, of {', '.join(_STYLES)}",
                mend="Give the curves of one day",
            )
    version, scenario, *limits = provenance(title)
    told = "; ".join(_energy(curve) for curve in curves)
    return Figure(
        heading=one_line(f"{_(title)}, {when}"),
        said=said or told,
        legend=tuple(
            Entry(text=_energy(curve), role=_STYLES[curve.name][0], dash=_STYLES[curve.name][2])
            for curve in curves
        ),
        panels=(_panel(hour, curves),),
        notes=(f"{version}. {scenario}", *limits),
        title=_("Power against time: {title}, {when}").format(title=one_line(_(title)), when=when),
        description=told,
    )


def _energy(curve: DayCurve) -> str:
    return _("{name}: {energy} kWh").format(name=curve.label, energy=significant(curve.energy_kWh))


def _panel(hour: Floats, curves: Sequence[DayCurve]) -> Panel:
    most = max(float(np.nanmax(curve.power_W, initial=0.0)) for curve in curves)
    up = make_axis((-0.03 * most, 1.16 * most) if most > 1e-6 else (0.0, 1.0), _("Power in W"))
    traces = []
    for curve in curves:
        role, width, dash = _STYLES[curve.name]
        known = np.isfinite(curve.power_W)
        traces.append(Trace(x=hour[known], y=curve.power_W[known], role=role, width=width, dash=dash))
    main = next((one for one in curves if one.name == "power"), curves[0])
    top = int(np.nanargmax(main.power_W)) if np.isfinite(main.power_W).any() else 0
    role, best = _STYLES[main.name][0], float(main.power_W[top])
    x = float(hour[top])
    label = Label(x=x, y=best, text=f"{significant(best)} W", role=role, prefer=ABOVE, must=True)
    points = (Point(x=x, y=best, role=role, radius=4.5),)
    return Panel(across=_clock(hour), up=up, traces=tuple(traces), points=points, labels=(label,))


def _clock(hour: Floats) -> Axis:
    """The clock, numbered at whole hours, as few of them as there is room for."""
    least, most = floor(float(hour[0])), ceil(float(hour[-1]) + 1e-9)
    ladder: list[tuple[Tick, ...]] = []
    for step in _HOURS:
        first = ceil(least / step) * step
        ticks = tuple(Tick(value=float(one), text=f"{one:02d}:00") for one in range(first, most + 1, step))
        if ticks and (not ladder or len(ticks) < len(ladder[-1])):
            ladder.append(ticks)
    return Axis(least=float(least), most=float(most), title=_("Clock of the site"), ladder=tuple(ladder))
