"""A drawing as a list of marks, and the colours that figures are drawn in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from pvsim.prompt import summary

Anchor = Literal["start", "middle", "end"]
Shape = Literal["round", "diamond"]
Points = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A polyline; coordinates in px, y down."""

    points: Points
    role: str
    width: float = 1.0
    dash: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Dot:
    """A filled circle with a rim in the colour of the ground, or a ring that is filled with that.

    Parameters
    ----------
    radius : float
        Of a diamond, from its centre to its corners.
    shape : "round" or "diamond"
    """

    x: float
    y: float
    radius: float
    role: str
    hollow: bool = False
    shape: Shape = "round"

    @property
    def corners(self) -> Points:
        """Of a diamond, from the uppermost."""
        x, y, r = self.x, self.y, self.radius
        return ((x, y - r), (x + r, y), (x, y + r), (x - r, y))


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A filled rectangle; `hatch` adds diagonal strokes, so that colour is never alone.

    Parameters
    ----------
    fill : str
        A colour, for what is shown by shades; or empty.
    role : str
        What it stands for, where it is not filled by a shade.
    rim, hatch : str
        Roles of its edge and its strokes; empty for none.
    """

    x: float
    y: float
    width: float
    height: float
    fill: str = ""
    role: str = ""
    rim: str = ""
    hatch: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """One line of text, `y` at its baseline."""

    x: float
    y: float
    text: str
    role: str
    size: float = 13.0
    anchor: Anchor = "start"
    bold: bool = False


Mark = Line | Dot | Box | Text


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """Marks on a ground, with the words that stand for it where it cannot be seen.

    Parameters
    ----------
    width, height : float
        In px.
    title, description : str
        The words.
    marks : tuple of Mark
        From the lowest to the uppermost.
    palette : Palette
        The colour of each role, where no style sheet gives it.
    """

    width: float
    height: float
    title: str
    description: str
    marks: tuple[Mark, ...]
    palette: Palette

    __repr__ = summary


# Told apart by people who see fewer colours. A role of a mark is a name in here.
Palette = Mapping[str, str]

# First colours as on the page; the further ones after M. Okabe and K. Ito, Color Universal Design (2008).
LIGHT: Palette = {
    "ground": "#FFFFFF",
    "ink": "#17212A",
    "muted": "#52606B",
    "rule": "#D3D9D6",
    "faint": "#E8EDEB",
    "middle": "#C9D2D6",
    "before": "#8A949B",
    "current": "#0072B2",
    "power": "#B34700",
    "more-1": "#009E73",
    "more-2": "#CC79A7",
    "more-3": "#D55E00",
    "more-4": "#56B4E9",
}
DARK: Palette = {
    "ground": "#1A2126",
    "ink": "#E9EEF1",
    "muted": "#A9B6BF",
    "rule": "#33404A",
    "faint": "#28323A",
    "middle": "#46545F",
    "before": "#7C8993",
    "current": "#56B4E9",
    "power": "#F0A04B",
    "more-1": "#009E73",
    "more-2": "#CC79A7",
    "more-3": "#F0E442",
    "more-4": "#D55E00",
}
MORE = ("more-1", "more-2", "more-3", "more-4")
