"""A matrix: rows against columns, in blocks, each cell with a sign and a shade for one of a few answers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from pvsim.errors import FileError
from pvsim.files.figure.drawing import DARK, LIGHT, Box, Dot, Drawing, Mark, Text
from pvsim.files.figure.sheet import PAGE, MARGIN_px, Sheet, footer, header
from pvsim.files.figure.text_size import BOLD, LINE, shortened, text_width, wrapped
from pvsim.prompt import summary

__all__ = ["Block", "Matrix", "Sign", "draw_matrix"]

MOST_CELLS = 20_000
_CELL = 1.45  # its sides, in sizes of its type
_GAP = 1.2  # between blocks
_NAMES_MOST = 0.34  # of the sheet: what names of rows take at most


@dataclass(frozen=True, slots=True, kw_only=True)
class Sign:
    """One answer.

    Parameters
    ----------
    text : str
        What it means.
    role : str
        What it stands for, which gives it its shade; empty for none.
    mark : "dot", "ring" or a letter or two
        Drawn in it, so that it is not told by its shade alone.
    hatched : bool
    """

    text: str
    role: str
    mark: Literal["dot", "ring"] | str
    hatched: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """One matrix of several.

    Parameters
    ----------
    name : str
    cells : tuple of tuple of str
        Row by row: keys of the signs; empty where there is no answer.
    """

    name: str
    cells: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Matrix:
    """What a matrix shows, in words.

    Parameters
    ----------
    heading, said : str
        Above it: what is shown, and what it comes to.
    rows, columns : tuple of str
        Their names; columns are lettered, and named below.
    blocks : tuple of Block
        Side by side, as many as there is room for.
    signs : dict
        By key, in the order they are explained.
    notes : tuple of str
        Below, a line each.
    title, description : str
        For those who cannot see it.

    Raises
    ------
    FileError
        If there is nothing to show or too much, or a block is not of these rows and columns and signs.
    """

    heading: str
    said: str
    rows: tuple[str, ...]
    columns: tuple[str, ...]
    blocks: tuple[Block, ...]
    signs: dict[str, Sign]
    notes: tuple[str, ...]
    title: str
    description: str

    __repr__ = summary

    def __post_init__(self) -> None:
        rows, columns, blocks = map(len, (self.rows, self.columns, self.blocks))
        count = rows * columns * blocks
        if not 0 < count <= MOST_CELLS or columns > 26:
            raise FileError(
                f"the matrix has {rows} rows, {columns} columns, {blocks} blocks",
                expected=f"at least one of each, at most 26 columns and {MOST_CELLS:,} cells in all",
                mend="Show fewer of them",
            )
        for block in self.blocks:
            shape = {len(row) for row in block.cells}
            known = {key for row in block.cells for key in row} <= {"", *self.signs}
            if len(block.cells) != rows or shape != {columns} or not known:
                raise FileError(
                    f"the block {block.name[:60]!r} does not fit the matrix",
                    expected=f"{rows} rows of {columns} keys of signs",
                    mend="Give each block as many rows and columns as are named",
                )


def draw_matrix(matrix: Matrix, *, theme: str = "light", sheet: Sheet = PAGE) -> Drawing:
    """Draw a matrix.

    Parameters
    ----------
    theme : "light" or "dark"
        Colours.
    sheet : Sheet
    """
    size = 12 * sheet.type_scale
    marks, y = header(matrix.heading, matrix.said, sheet)
    drawn, y = _signs(matrix, y + 2.0 * size, sheet, size)
    marks += drawn
    right = sheet.width - MARGIN_px
    room = right - MARGIN_px
    asked = max(text_width(name, size) for name in matrix.rows) + 0.8 * size
    names = min(asked, _NAMES_MOST * room)
    side = _CELL * size
    wide = max(side * len(matrix.columns), 6.0 * size)
    each = max(1, int((room - names + _GAP * size) // (wide + _GAP * size)))
    if each == 1:
        names = min(asked, max(names, room - wide))
    high = side * len(matrix.rows) + 4.8 * size
    y += 2.2 * size
    for start in range(0, len(matrix.blocks), each):
        top = y + 3.6 * size
        for number, name in enumerate(matrix.rows):
            text = shortened(name, names - 0.8 * size, size)
            foot = top + side * number + 0.5 * side + size / 3
            marks.append(Text(x=MARGIN_px, y=foot, text=text, role="ink", size=size))
        for place, block in enumerate(matrix.blocks[start : start + each]):
            marks += _block(matrix, block, MARGIN_px + names + place * (wide + _GAP * size), top, wide, size)
        y += high
    key, y = _key(matrix.columns, y + 1.4 * size, sheet, size)
    notes, height = footer(matrix.notes, y + 0.8 * size, sheet)
    return Drawing(
        width=sheet.width,
        height=height,
        title=matrix.title,
        description=matrix.description,
        marks=(*marks, *key, *notes),
        palette=DARK if theme == "dark" else LIGHT,
    )


def _letter(number: int) -> str:
    return chr(ord("A") + number)


def _block(matrix: Matrix, block: Block, left: float, top: float, wide: float, size: float) -> list[Mark]:
    """Its name, the letters of its columns, and its cells."""
    side = _CELL * size
    lines = wrapped(block.name, wide / BOLD, size, most=2)
    marks: list[Mark] = [
        Text(x=left, y=top - (1.9 + LINE * number) * size, text=line, role="ink", size=size, bold=True)
        for number, line in enumerate(reversed(lines))
    ]
    for column in range(len(matrix.columns)):
        x = left + side * (column + 0.5)
        marks.append(
            Text(x=x, y=top - 0.5 * size, text=_letter(column), role="muted", size=size, anchor="middle")
        )
    for row, keys in enumerate(block.cells):
        for column, key in enumerate(keys):
            if key:
                x, y = left + side * column, top + side * row
                marks += _cell(matrix.signs[key], x, y, side, size)
    return marks


def _cell(sign: Sign, x: float, y: float, side: float, size: float) -> list[Mark]:
    """A sign on its shade."""
    marks: list[Mark] = []
    middle_x, middle_y = x + side / 2, y + side / 2
    if sign.role:
        marks.append(
            Box(
                x=x + 1, y=y + 1, width=side - 2, height=side - 2,
                role=sign.role, hatch="muted" if sign.hatched else "",
            )
        )
    if sign.mark in ("dot", "ring"):
        dot = Dot(x=middle_x, y=middle_y, radius=0.36 * size, role="ground", hollow=False)
        if sign.mark == "ring":
            dot = Dot(x=middle_x, y=middle_y, radius=0.36 * size, role="ink", hollow=True)
        marks.append(dot)
    elif sign.mark:
        marks.append(
            Text(x=middle_x, y=middle_y + size / 3, text=sign.mark, role="ink", size=size, anchor="middle")
        )
    return marks


def _signs(matrix: Matrix, y: float, sheet: Sheet, size: float) -> tuple[list[Mark], float]:
    """What each sign means, in rows, and where the last row stands."""
    marks: list[Mark] = []
    side, x, right = _CELL * size, MARGIN_px, sheet.width - MARGIN_px
    for sign in matrix.signs.values():
        indent = side + 0.5 * size
        text = shortened(sign.text, right - MARGIN_px - indent, size)
        width = indent + text_width(text, size)
        if x > MARGIN_px and x + width > right:
            x, y = MARGIN_px, y + 1.2 * side
        marks += _cell(sign, x, y - 0.5 * side - size / 3, side, size)
        marks.append(Text(x=x + indent, y=y, text=text, role="ink", size=size))
        x += width + 1.5 * size
    return marks, y


def _key(columns: Sequence[str], y: float, sheet: Sheet, size: float) -> tuple[list[Mark], float]:
    """What each letter stands for, a line or more each, and where the next line would stand."""
    marks: list[Mark] = []
    indent = 1.6 * size
    for number, name in enumerate(columns):
        marks.append(Text(x=MARGIN_px, y=y, text=_letter(number), role="muted", size=size))
        for line in wrapped(name, sheet.width - 2 * MARGIN_px - indent, size):
            marks.append(Text(x=MARGIN_px + indent, y=y, text=line, role="ink", size=size))
            y += LINE * 1.1 * size
    return marks, y
