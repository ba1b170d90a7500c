"""A panel in its frame: axes, curves, points, and labels where they have room."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot

from pvsim.files.figure.axis import Axis, Tick
from pvsim.files.figure.drawing import Anchor, Dot, Line, Mark, Points, Text
from pvsim.files.figure.drawing import Box as Rectangle
from pvsim.files.figure.frame import Frame, clip, dense_points
from pvsim.files.figure.model import Band, Caption, Label, Panel, Point, Trace
from pvsim.files.figure.placer import Box, Place, Wish, place
from pvsim.files.figure.text_size import LINE, shortened, text_width

__all__ = ["DOT_RADIUS_px", "Manner", "draw_panel", "ticks_across", "ticks_up"]

DOT_RADIUS_px = 3.2  # of the points of a measured curve
_DOT_STEP_px = 10.0  # between them; closer ones would run together
_MOST_DOTS = 2_000
_RIM_px = 1.5
_LEADER_px = 18.0  # a label that had to go farther is joined to its point
_SPARE = 0.2  # of a label's place at either end, which words of a narrow face leave free
_APART = 0.7  # between two numbers on an axis, in sizes of their type


@dataclass(frozen=True, slots=True, kw_only=True)
class Manner:
    """How a panel is drawn.

    Parameters
    ----------
    type_px : float
        Size of its numbers and labels.
    lines : bool
        Lines over the whole frame at the round values; else notches at its edge.
    numbers : bool
        Whether the numbers of the horizontal axis are written, and not by the panel below.
    unit : str
        Written at the last number of the horizontal axis, with notches.
    margin_px : float
        What numbers may reach beyond the frame on the right.
    """

    type_px: float = 12.0
    lines: bool = True
    numbers: bool = True
    unit: str = ""
    margin_px: float = 28.0


def draw_panel(panel: Panel, box: Box, manner: Manner) -> list[Mark]:
    """Draw a panel.

    Parameters
    ----------
    panel : Panel
        What it shows.
    box : Box
        Its frame, without the numbers at its edges.
    manner : Manner
        How.
    """
    frame = Frame(box=box, across=panel.across, up=panel.up)
    lines = [line for trace in panel.traces if not trace.dotted for line in _lines(frame, trace)]
    traces = [mark for trace in panel.traces for mark in (_dots if trace.dotted else _lines)(frame, trace)]
    points = [_dot(frame, one) for one in panel.points if frame.holds(frame.x(one.x), frame.y(one.y))]
    curves = [line.points for line in lines] + [_zero(frame)]
    dots = [mark for mark in (*traces, *points) if isinstance(mark, Dot)]
    bands = [_band(frame, one) for one in panel.bands]
    captions = [mark for one in panel.captions for mark in _caption(frame, one, manner)]
    labels = _labels(frame, panel.labels, curves, dots, manner)
    return [*bands, *_axes(frame, manner), *traces, *points, *captions, *labels]


def ticks_across(axis: Axis, width: float, manner: Manner) -> tuple[Tick, ...]:
    """The finest round values whose numbers stand apart beside each other, as far as these have room."""
    size = manner.type_px
    unit = text_width(f"\u00a0{manner.unit}", size) / 2 if manner.unit else 0.0

    def place(tick: Tick) -> float:
        return width * (tick.value - axis.least) / (axis.most - axis.least)

    def half(tick: Tick) -> float:
        return text_width(tick.text, size) / 2

    def apart(ticks: Sequence[Tick]) -> bool:
        halves = [half(tick) + (unit if tick is ticks[-1] else 0.0) for tick in ticks]
        rooms = zip(pairwise(map(place, ticks)), pairwise(halves), strict=True)
        return all(b - a - x - y > _APART * size for (a, b), (x, y) in rooms)

    most = width + manner.margin_px - unit
    within = [tuple(one for one in ticks if place(one) + half(one) <= most) for ticks in axis.ladder]
    return _finest(within, apart)


def ticks_up(axis: Axis, height: float, type_px: float) -> tuple[Tick, ...]:
    """The finest round values whose numbers stand apart above each other."""

    def apart(ticks: Sequence[Tick]) -> bool:
        at = [height * tick.value / (axis.most - axis.least) for tick in ticks]
        return all(b - a > LINE * type_px for a, b in pairwise(at))

    return _finest(axis.ladder, apart)


def _finest(
    ladder: Sequence[tuple[Tick, ...]], apart: Callable[[Sequence[Tick]], bool]
) -> tuple[Tick, ...]:
    return next((ticks for ticks in ladder if apart(ticks)), ladder[-1][:1] if ladder else ())


def _axes(frame: Frame, manner: Manner) -> list[Mark]:
    across = ticks_across(frame.across, frame.box.width, manner)
    up = ticks_up(frame.up, frame.box.height, manner.type_px)
    return _grid(frame, across, up, manner) if manner.lines else _notches(frame, across, up, manner)


def _grid(frame: Frame, across: Iterable[Tick], up: Iterable[Tick], manner: Manner) -> list[Mark]:
    box, size = frame.box, manner.type_px
    marks: list[Mark] = []
    for tick in up:
        y = frame.y(tick.value)
        role = "rule" if tick.value else "muted"
        marks.append(Line(points=((box.x, y), (box.x + box.width, y)), role=role))
        marks.append(Text(x=box.x - 8, y=y + size / 3, text=tick.text, role="ink", size=size, anchor="end"))
    for tick in across:
        x = frame.x(tick.value)
        role = "rule" if tick.value else "muted"
        marks.append(Line(points=((x, box.y), (x, box.y + box.height)), role=role))
        if manner.numbers:
            y = box.y + box.height + 1.5 * size
            marks.append(Text(x=x, y=y, text=tick.text, role="ink", size=size, anchor="middle"))
    return marks


def _notches(frame: Frame, across: Sequence[Tick], up: Sequence[Tick], manner: Manner) -> list[Mark]:
    """The axes, with a notch at each number; the last one across has its unit, so that none runs into it."""
    box, size = frame.box, manner.type_px
    bottom, right = box.y + box.height, box.x + box.width
    corner = ((box.x, box.y), (box.x, bottom), (right, bottom))
    unit = Text(x=4, y=box.y - 3, text=frame.up.title, role="muted", size=size)
    marks: list[Mark] = [Line(points=corner, role="rule"), unit]
    for tick in across:
        x = frame.x(tick.value)
        text = f"{tick.text}\u00a0{manner.unit}" if tick is across[-1] else tick.text
        marks.append(Line(points=((x, bottom), (x, bottom + 4)), role="rule"))
        marks.append(Text(x=x, y=bottom + 18, text=text, role="muted", size=size, anchor="middle"))
    for tick in up:
        y = frame.y(tick.value)
        if tick.value == frame.up.least or y - size / 2 < box.y:  # there a number stands below, or the unit
            continue
        marks.append(Line(points=((box.x, y), (box.x - 4, y)), role="rule"))
        marks.append(Text(x=box.x - 6, y=y + 4, text=tick.text, role="muted", size=size, anchor="end"))
    return marks


def _lines(frame: Frame, trace: Trace) -> list[Line]:
    return [
        Line(points=piece, role=trace.role, width=trace.width, dash=trace.dash)
        for piece in clip(frame, trace.x, trace.y)
    ]


def _dots(frame: Frame, trace: Trace) -> list[Dot]:
    """The points of a measured curve, those left out that would touch the one before."""
    step = -(-trace.x.size // _MOST_DOTS)
    dots: list[Dot] = []
    for value, other in zip(trace.x[::step].tolist(), trace.y[::step].tolist(), strict=True):
        x, y = frame.x(value), frame.y(other)
        if frame.holds(x, y) and not (dots and hypot(x - dots[-1].x, y - dots[-1].y) < _DOT_STEP_px):
            dots.append(Dot(x=x, y=y, radius=DOT_RADIUS_px, role=trace.role))
    return dots


def _dot(frame: Frame, point: Point) -> Dot:
    x, y = frame.x(point.x), frame.y(point.y)
    return Dot(x=x, y=y, radius=point.radius, role=point.role, hollow=point.hollow, shape=point.shape)


def _band(frame: Frame, band: Band) -> Mark:
    """As much of it as lies within the frame."""
    ends = [min(max(one, frame.across.least), frame.across.most) for one in band.across]
    sides = [min(max(one, frame.up.least), frame.up.most) for one in band.up]
    left, right, bottom, top = (*map(frame.x, ends), *map(frame.y, sides))
    return Rectangle(
        x=left, y=top, width=right - left, height=bottom - top,
        role=band.role, hatch="muted" if band.hatched else "",
    )


def _caption(frame: Frame, caption: Caption, manner: Manner) -> list[Mark]:
    """The words, on a ground that keeps the lines of the axis off them."""
    box, size, y = frame.box, manner.type_px, frame.y(caption.y)
    text = shortened(caption.text, box.width, size)
    width, high = text_width(text, size) + 0.5 * size, LINE * size
    return [
        Rectangle(x=box.x, y=y - 0.5 * high, width=width, height=high, role="ground"),
        Text(x=box.x, y=y + size / 3, text=text, role="ink", size=size),
    ]


def _zero(frame: Frame) -> Points:
    """The line at zero, which labels keep off as they do off curves."""
    y = frame.y(min(max(0.0, frame.up.least), frame.up.most))
    return (frame.box.x, y), (frame.box.x + frame.box.width, y)


def _labels(
    frame: Frame, labels: Sequence[Label], curves: Sequence[Points], points: Sequence[Dot], manner: Manner
) -> list[Mark]:
    """Labels of what lies within the frame, each with a thin line to its point where it had to go far."""
    seen = [one for one in labels if frame.holds(frame.x(one.x), frame.y(one.y))]
    wishes = [
        Wish(
            x=frame.x(one.x),
            y=frame.y(one.y),
            width=text_width(one.words, manner.type_px, bold=True) + 2,
            height=LINE * manner.type_px,
            prefer=one.prefer,
            must=one.must,
        )
        for one in seen
    ]
    found = place(wishes, frame.box, [dense_points(one) for one in curves], [_round(one) for one in points])
    marks: list[Mark] = []
    for label, wish, at in zip(seen, wishes, found, strict=True):
        if at is not None:
            marks += _leader(wish, at, manner)
            marks.append(_written(label, wish, at, manner))
    return marks


def _written(label: Label, wish: Wish, at: Place, manner: Manner) -> Text:
    """The words, at the end of their place that is nearer to the point: few faces fill it."""
    right = at.x + at.width
    anchor: Anchor = "start" if wish.x < at.x else "end" if wish.x > right else "middle"
    return Text(
        x={"start": at.x + 1, "middle": at.x + at.width / 2, "end": right - 1}[anchor],
        y=at.y + 0.8 * at.height,
        text=label.words,
        role=label.role,
        size=manner.type_px,
        anchor=anchor,
        bold=True,
    )


def _round(dot: Dot) -> Box:
    size = dot.radius + _RIM_px / 2
    return Box(x=dot.x - size, y=dot.y - size, width=2 * size, height=2 * size)


def _leader(wish: Wish, at: Place, manner: Manner) -> list[Line]:
    """From the point to the words; below or above them to their middle part, which every face reaches."""
    beside = not at.x <= wish.x <= at.x + at.width
    spare = 0.0 if beside else _SPARE * at.width
    x = max(at.x + spare, min(at.x + at.width - spare, wish.x))
    y = max(at.y + 2, min(at.y + at.height - 2, wish.y))
    length = hypot(x - wish.x, y - wish.y)
    if length < _LEADER_px * manner.type_px / 12:
        return []
    start = 7 / length  # clear of the point
    ends = ((wish.x + start * (x - wish.x), wish.y + start * (y - wish.y)), (x, y))
    return [Line(points=ends, role="muted", width=0.75)]
