"""What the figures of a page share of one quantity: its range, and the round values to choose from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from bokeh.models import FixedTicker, LinearAxis, Range1d

from pvsim.files.figure.axis import make_axis
from pvsim.reading.axes import Span

__all__ = ["ACROSS", "UP", "Scale", "make_scale", "new_axis", "set_scale"]

ACROSS, UP = (7, 5, 4, 3, 2), (4, 3, 2)  # about how many round values, the most first


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """A quantity in the browser.

    Parameters
    ----------
    range : Range1d
        Fixed, never found by the browser.
    counts : sequence of int
        About how many round values there may be.
    axes : list of LinearAxis
        Every axis that shows it.
    """

    range: Range1d
    counts: Sequence[int]
    axes: list[LinearAxis] = field(default_factory=list)


def make_scale(counts: Sequence[int]) -> Scale:
    """A new one; a session must not share it."""
    return Scale(range=Range1d(start=0, end=1), counts=counts)


def new_axis(scale: Scale, ticker: FixedTicker, *, visible: bool = True) -> LinearAxis:
    """A bare axis of the quantity, with the numbers it has at present."""
    axis = LinearAxis(
        visible=visible,
        minor_tick_line_color=None,
        major_tick_in=0,
        major_tick_out=3,
        major_label_standoff=4,
    )
    axis.update(ticker=ticker)
    if scale.axes:
        first = scale.axes[0]
        axis.major_label_overrides, ticker.tags = first.major_label_overrides, first.ticker.tags
    scale.axes.append(axis)
    return axis


def set_scale(scale: Scale, span: Span) -> None:
    """Move the quantity's range, if it is elsewhere, and give its axes their numbers.

    The numbers go as texts, and with each ticker the sets of values that the browser chooses from.
    """
    numbered = any(axis.ticker.tags for axis in scale.axes)
    if numbered and (scale.range.start, scale.range.end) == span:
        return
    scale.range.update(start=span[0], end=span[1])
    found = make_axis(span, counts=scale.counts)
    for axis in scale.axes:
        axis.major_label_overrides = {tick.value: tick.text for ticks in found.ladder for tick in ticks}
        axis.ticker.tags = [[tick.value for tick in ticks] for ticks in found.ladder]
