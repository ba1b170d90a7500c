"""What stands on paper, block by block, in words already translated.

What it looks like is for html.py and pdf.py. Texts are Markdown as of an item: its numbers are filled in.
"""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.files.figure.drawing import Drawing
from pvsim.prompt import summary

__all__ = [
    "Block",
    "Caution",
    "Document",
    "Grid",
    "Heading",
    "Options",
    "Picture",
    "Prose",
    "Together",
    "Writing",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """A line above what follows.

    Parameters
    ----------
    text : str
        Plain.
    beside : str
        At the other end of the line, such as the points.
    level : int
        2 for a part of the sheet, 3 within it.
    """

    text: str
    beside: str = ""
    level: int = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Prose:
    """Text in paragraphs."""

    text: str
    small: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """What can hurt people, in its frame."""

    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A drawing as wide as the text, and what is said below it."""

    drawing: Drawing
    caption: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Writing:
    """Room to write by hand.

    Parameters
    ----------
    label : str
    lines : int
        Whole lines below the label; 0 for a short one beside it.
    unit : str
        Printed behind a short one.
    """

    label: str
    lines: int = 0
    unit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Options:
    """Answers to choose from, lettered, each with a box; `right` is crossed, from 0."""

    texts: tuple[str, ...]
    right: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """A table.

    Parameters
    ----------
    caption : str
    columns : tuple of str
    rows : tuple of tuple of str
        Markdown; an empty one is to be filled in by hand.
    shares : tuple of float
        Of the width, by column.
    numbers : int
        How many of the last columns are set to the right.
    """

    caption: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    shares: tuple[float, ...]
    numbers: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Together:
    """Blocks that are not torn apart where a page ends, if one page can hold them."""

    blocks: tuple[Block, ...]


Block = Heading | Prose | Caution | Picture | Writing | Options | Grid | Together


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """A work sheet or its solution.

    Parameters
    ----------
    kind, title : str
        Such as "Work sheet" and the lesson's title.
    language : str
    fields : tuple of (str, str)
        Below the title: what is written there, and what is printed already, or nothing.
    parts : tuple of tuple of Block
        Each begins on a page of its own.
    notes : tuple of str
        At the end: version, scenario, limits of the model.
    foot : str
        On every page.
    """

    kind: str
    title: str
    language: str
    fields: tuple[tuple[str, str], ...]
    parts: tuple[tuple[Block, ...], ...]
    notes: tuple[str, ...]
    foot: str

    __repr__ = summary
