"""What the figures of a page share of one quantity: its range, and the round values to choose from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from bokeh.models import FixedTicker, LinearAxis, Range1d

from pvsim.files.figure.axis import make_axis
from pvsim.reading.axes import Span

__all__ = ["ACROSS", "UP", "Scale", "new_axis", "set_scale"]

ACROSS, UP = (7, 5, 4, 3, 2), (4, 3, 2)  # about how many round values, the most first


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """A quantity in the browser; a session must not share it.

    Parameters
    ----------
    counts : sequence of int
        About how many round values there may be, the most first.
    range : Range1d
        Fixed, never found by the browser.
    ticker : FixedTicker
        Of all its axes: with the sets of values, as tags, that the browser chooses from.
    axes : list of LinearAxis
        Every axis that shows it, with the numbers as texts.
    """

    counts: Sequence[int]
    range: Range1d = field(default_factory=lambda: Range1d(start=0, end=1))
    ticker: FixedTicker = field(default_factory=FixedTicker)
    axes: list[LinearAxis] = field(default_factory=list)


def new_axis(scale: Scale, **more: Any) -> LinearAxis:
    """A bare axis of the quantity, with the numbers it has at present; `more` are properties of the axis."""
    axis = LinearAxis(
        minor_tick_line_color=None, major_tick_in=0, major_tick_out=3, major_label_standoff=4, **more
    )
    axis.update(ticker=scale.ticker)
    if scale.axes:
        axis.major_label_overrides = scale.axes[0].major_label_overrides
    scale.axes.append(axis)
    return axis


def set_scale(scale: Scale, span: Span) -> None:
    """Move the quantity's range, if it is elsewhere, and give its axes their numbers."""
    if scale.ticker.tags and (scale.range.start, scale.range.end) == span:
        return
    scale.range.update(start=span[0], end=span[1])
    ladder = make_axis(span, counts=scale.counts).ladder
    for axis in scale.axes:
        axis.major_label_overrides = {tick.value: tick.text for ticks in ladder for tick in ticks}
    scale.ticker.tags = [[tick.value for tick in ticks] for ticks in ladder]
