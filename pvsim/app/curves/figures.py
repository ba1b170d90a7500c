"""The Bokeh figures of the curves: bare frames whose colours and type the page hands over."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from bokeh.models import (
    AllLabels,
    BasicTickFormatter,
    ColumnDataSource,
    Grid,
    Line,
    LinearScale,
    MultiLine,
    Plot,
    VArea,
)
from bokeh.models.annotations import Span

from pvsim.app.curves.scale import ACROSS, UP, Scale, new_axis, set_scale
from pvsim.circuit import Characteristic
from pvsim.circuit.floats import Floats
from pvsim.reading.axes import Axes
from pvsim.reading.difference import Difference

__all__ = [
    "DifferenceFigure",
    "Figures",
    "curve_columns",
    "difference_columns",
    "make_difference",
    "make_figures",
    "model_ids",
    "set_axes",
]

EMPTY = np.zeros(0)
GAP = np.array([np.nan])
SIDE_px, TOP_px, BOTTOM_px = 42, 20, 34  # the page scales them with its type


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """The models of one session's curves, built once.

    Parameters
    ----------
    current, power : Plot
        I-V and P-V over one voltage axis.
    now, before, parts : ColumnDataSource
        Columns V, I, P of one curve or of several with a gap between; and for the parts lists xs, ys with
        colour and dash.
    voltage, amperes, watts : Scale
        Ranges and round values.
    """

    current: Plot
    power: Plot
    now: ColumnDataSource
    before: ColumnDataSource
    parts: ColumnDataSource
    voltage: Scale
    amperes: Scale
    watts: Scale


@dataclass(frozen=True, slots=True, kw_only=True)
class DifferenceFigure:
    """The models of the magnified difference, which few look at: built when somebody first does.

    Parameters
    ----------
    plot : Plot
        Over the voltage axis of the others.
    change : ColumnDataSource
        Columns V, D of one curve or of several with a gap between.
    delta : Scale
        Its own range.
    """

    plot: Plot
    change: ColumnDataSource
    delta: Scale


@dataclass(frozen=True, slots=True)
class _Common:
    """Models that say the same for every figure, made once: each costs the opening of a page its share.

    A view of a source is not among them: it keeps indices of the one source that it was drawn with.
    """

    ticks: BasicTickFormatter = field(default_factory=lambda: BasicTickFormatter(use_scientific=False))
    scale: LinearScale = field(default_factory=LinearScale)
    labels: AllLabels = field(default_factory=AllLabels)


def make_figures() -> Figures:
    """New figures and sources; a session must not share them."""
    voltage, amperes, watts = (Scale(counts=counts) for counts in (ACROSS, UP, UP))
    now = ColumnDataSource({"V": EMPTY, "I": EMPTY, "P": EMPTY})
    policy = now.selection_policy
    before = ColumnDataSource({"V": EMPTY, "I": EMPTY, "P": EMPTY}, selection_policy=policy)
    parts = ColumnDataSource({"xs": [], "ys": [], "colour": [], "dash": []}, selection_policy=policy)
    common = _Common()
    current = _frame(voltage, amperes, common)
    power = _frame(voltage, watts, common, twin=True)
    lines = MultiLine(xs="xs", ys="ys", line_color="colour", line_dash="dash", line_width=1.5)
    current.add_glyph(parts, lines, name="part lines")
    for plot, column in ((current, "I"), (power, "P")):
        earlier = Line(x="V", y=column, line_width=1.5, line_dash=[5, 3])
        plot.add_glyph(before, earlier, name=f"before {column}")
        present = Line(x="V", y=column, line_width=2.5, line_join="round")
        plot.add_glyph(now, present, name=f"now {column}")
    return Figures(
        current=current,
        power=power,
        now=now,
        before=before,
        parts=parts,
        voltage=voltage,
        amperes=amperes,
        watts=watts,
    )


def make_difference(figures: Figures) -> DifferenceFigure:
    """The magnified difference, for the figures that it stands below."""
    delta = Scale(counts=UP)
    change = ColumnDataSource({"V": EMPTY, "D": EMPTY})
    common = _Common()
    plot = _frame(figures.voltage, delta, common)
    area = VArea(x="V", y1=0, y2="D", fill_alpha=0.22)
    plot.add_glyph(change, area, name="area D")
    line = Line(x="V", y="D", line_width=2.5, line_join="round")
    plot.add_glyph(change, line, name="now D")
    return DifferenceFigure(plot=plot, change=change, delta=delta)


def _frame(voltage: Scale, side: Scale, common: _Common, *, twin: bool = False) -> Plot:
    """An empty figure: bare axes, a faint grid, lines at zero, nothing to click."""
    plot = Plot(
        title=None,
        x_range=voltage.range,
        y_range=side.range,
        x_scale=common.scale,
        y_scale=common.scale,
        toolbar_location=None,
        sizing_mode="stretch_both",
        min_height=40,
        min_width=40,
        min_border_left=SIDE_px,
        min_border_right=12,
        min_border_top=TOP_px,
        min_border_bottom=BOTTOM_px,
        background_fill_color=None,
        border_fill_color=None,
        outline_line_color=None,
        lod_threshold=None,
    )
    common_to_axes = {"formatter": common.ticks, "major_label_policy": common.labels}
    plot.below.append(new_axis(voltage, **common_to_axes))
    plot.left.append(new_axis(side, **common_to_axes))
    if twin:  # for when it shares the frame of another figure
        plot.right.append(new_axis(side, **common_to_axes, visible=False))
    for axis in (*plot.left, *plot.right):
        axis.update(axis_line_color=None, major_tick_line_color=None)
    plot.add_layout(Grid(dimension=0, ticker=voltage.ticker))
    plot.add_layout(Grid(dimension=1, ticker=side.ticker))
    plot.add_layout(Span(location=0, dimension="width", line_width=1, level="underlay"))
    plot.add_layout(Span(location=0, dimension="height", line_width=1, level="underlay"))
    return plot


def set_axes(figures: Figures, axes: Axes) -> None:
    """Move the axes, which is done only when the part shown changes."""
    set_scale(figures.voltage, axes.voltage_V)
    set_scale(figures.amperes, axes.current_A)
    set_scale(figures.watts, axes.power_W)


def model_ids(figures: Figures, difference: DifferenceFigure | None = None) -> dict[str, dict[str, str]]:
    """How the browser finds the models it draws over."""
    plots = {"current": figures.current, "power": figures.power}
    sources = {"now": figures.now, "before": figures.before}
    if difference is not None:
        plots["difference"], sources["difference"] = difference.plot, difference.change
    return {
        "figures": {name: one.ref["id"] for name, one in plots.items()},
        "sources": {name: one.ref["id"] for name, one in sources.items()},
    }


def curve_columns(curves: Sequence[Characteristic]) -> dict[str, Floats]:
    """The columns of these curves, one after the other with a gap between, so that no line joins them."""
    columns = {
        "V": [one.voltage_V for one in curves],
        "I": [one.current_A for one in curves],
        "P": [one.power_W for one in curves],
    }
    return {name: _apart(found) for name, found in columns.items()}


def difference_columns(changes: Sequence[Difference]) -> dict[str, Floats]:
    """The columns of these differences; each comes down to zero at its ends, so that its area is its own."""
    ends = [np.array([one.voltage_V[0], one.voltage_V[-1]]) for one in changes]
    V = [np.concatenate([end[:1], one.voltage_V, end[1:]]) for one, end in zip(changes, ends, strict=True)]
    D = [np.concatenate([[0.0], one.value, [0.0]]) for one in changes]
    if len(changes) == 1:
        V, D = [changes[0].voltage_V], [changes[0].value]
    return {"V": _apart(V), "D": _apart(D)}


def _apart(pieces: Sequence[Floats]) -> Floats:
    if len(pieces) == 1:
        return pieces[0]
    return np.concatenate([part for one in pieces for part in (one, GAP)][:-1]) if pieces else EMPTY
