"""What a figure shows, in values and words; where it comes to lie in px is none of its business."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pvsim.circuit.floats import Floats
from pvsim.files.figure.axis import Axis
from pvsim.files.figure.drawing import Shape
from pvsim.prompt import summary

__all__ = ["Band", "Caption", "Entry", "Figure", "Label", "Panel", "Point", "Trace"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Trace:
    """A curve.

    Parameters
    ----------
    x, y : (n,)
        Values of its corners, or of its points.
    role : str
        What it stands for, which gives it its colour; see Palette.
    width : float
        Of the line, in px.
    dash : tuple of float
        Of the line, in px; none of a whole one.
    dotted : bool
        Drawn as points and no line: it was measured.
    """

    x: Floats
    y: Floats
    role: str
    width: float = 2.4
    dash: tuple[float, ...] = ()
    dotted: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """A point on a curve."""

    x: float
    y: float
    role: str
    radius: float = 4.0
    hollow: bool = False
    shape: Shape = "round"


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A range of values, shaded below all else.

    Parameters
    ----------
    across, up : (least, most)
        Values at its sides.
    role : str
        What it stands for, which gives it its shade.
    hatched : bool
        With strokes, so that it is not told by its shade alone.
    """

    across: tuple[float, float]
    up: tuple[float, float]
    role: str
    hatched: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Caption:
    """Words on a line of their own, from the left edge of a frame.

    Parameters
    ----------
    y : float
        Value at the middle of the line.
    """

    y: float
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """Words beside a point.

    Parameters
    ----------
    x, y : float
        Values of the point.
    text, role : str
        What is written, and what it stands for.
    symbol : (symbol, index)
        Written before the text.
    prefer : tuple of int
        Sides it would stand on, the best first, as counted in placer.SIDES.
    must : bool
        Stands on a curve rather than nowhere.
    alone : bool
        Left out where its panel shares one frame with another.
    """

    x: float
    y: float
    text: str
    role: str
    symbol: tuple[str, str] = ("", "")
    prefer: tuple[int, ...] = ()
    must: bool = False
    alone: bool = False

    @property
    def words(self) -> str:
        """All of it on one line, for who sets no index."""
        return f"{''.join(self.symbol)} {self.text}".lstrip()


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """A pair of axes with what is drawn over them.

    Parameters
    ----------
    across, up : Axis
        The horizontal one and the vertical one.
    traces, points : tuple of Trace, tuple of Point
        From the lowest to the uppermost.
    labels : tuple of Label
        The most important first.
    bands : tuple of Band
        From the lowest to the uppermost, below all else.
    captions : tuple of Caption
    lines : float
        How many lines of type it is high; 0 leaves that to the sheet.
    """

    across: Axis
    up: Axis
    traces: tuple[Trace, ...] = ()
    points: tuple[Point, ...] = ()
    labels: tuple[Label, ...] = ()
    bands: tuple[Band, ...] = ()
    captions: tuple[Caption, ...] = ()
    lines: float = 0.0

    __repr__ = summary


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """What one curve is called, or one kind of points or bands.

    Parameters
    ----------
    text, role : str
    dash, dotted
        Of its curve.
    point : "round", "diamond" or ""
        The shape of its points, where it is no curve.
    band, hatched : bool
        Whether it is a band, and one with strokes.
    """

    text: str
    role: str
    dash: tuple[float, ...] = ()
    dotted: bool = False
    point: Shape | Literal[""] = ""
    band: bool = False
    hatched: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """Panels one above the other, which share what runs across.

    Parameters
    ----------
    heading, said : str
        Above them: what is shown, and what it comes to.
    legend : tuple of Entry
        What the curves are called.
    panels : tuple of Panel
        From the top.
    notes : tuple of str
        Below them, a line each.
    title, description : str
        For those who cannot see it.
    """

    heading: str
    said: str
    panels: tuple[Panel, ...]
    notes: tuple[str, ...]
    title: str
    description: str
    legend: tuple[Entry, ...] = ()

    __repr__ = summary
