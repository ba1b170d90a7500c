"""A drawing as a list of marks, and the colours figures are drawn in."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from pvsim.prompt import summary

Anchor = Literal["start", "middle", "end"]
Points = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A polyline; coordinates in px, y down."""

    points: Points
    colour: str
    width: float = 1.0
    dash: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Dot:
    """A filled circle with a rim in the colour of the ground."""

    x: float
    y: float
    radius: float
    colour: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A filled rectangle; `hatch` adds diagonal strokes, so that colour is never alone."""

    x: float
    y: float
    width: float
    height: float
    fill: str
    rim: str = ""
    hatch: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """One line of text, `y` at its baseline."""

    x: float
    y: float
    text: str
    colour: str
    size: float = 13.0
    anchor: Anchor = "start"
    bold: bool = False


Mark = Line | Dot | Box | Text


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """Marks on a ground, with the words that stand for it where it cannot be seen."""

    width: float
    height: float
    title: str
    description: str
    marks: tuple[Mark, ...]
    ground: str

    __repr__ = summary


@dataclass(frozen=True, slots=True, kw_only=True)
class Palette:
    """Colours of a figure, told apart by people who see fewer colours."""

    ground: str
    ink: str
    muted: str
    rule: str
    before: str
    current: str
    power: str
    more: tuple[str, ...] = field(default=())


# First colours as on the page; the further ones after M. Okabe and K. Ito, Color Universal Design (2008).
LIGHT = Palette(
    ground="#FFFFFF",
    ink="#17212A",
    muted="#52606B",
    rule="#D3D9D6",
    before="#8A949B",
    current="#0072B2",
    power="#B34700",
    more=("#009E73", "#CC79A7", "#D55E00", "#56B4E9"),
)
DARK = Palette(
    ground="#1A2126",
    ink="#E9EEF1",
    muted="#A9B6BF",
    rule="#33404A",
    before="#7C8993",
    current="#56B4E9",
    power="#F0A04B",
    more=("#009E73", "#CC79A7", "#F0E442", "#D55E00"),
)
