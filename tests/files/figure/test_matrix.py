"""A matrix: each answer has a sign and a shade, blocks fit their sheet, and nothing collides."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pvsim.errors import FileError
from pvsim.files.figure.drawing import DARK, Box, Dot, Text
from pvsim.files.figure.matrix import Block, Matrix, Sign, draw_matrix
from pvsim.files.figure.png import write_png
from pvsim.files.figure.sheet import Sheet
from pvsim.files.figure.svg import write_svg
from tests.files.figure.letters import faults

SIGNS = {
    "yes": Sign(text="certain", role="current", mark="dot"),
    "perhaps": Sign(text="perhaps, if somebody looks twice", role="middle", mark="ring", hatched=True),
    "?": Sign(text="cannot be told", role="faint", mark="?"),
    "no": Sign(text="no", role="", mark="–"),
}
CELLS = (("yes", "perhaps"), ("?", "no"), ("", "yes"))
MATRIX = Matrix(
    heading="Three things by two",
    said="Two of three.",
    rows=("one thing", "another one with a long name, which may be cut where it has no room", "a third"),
    columns=("first instrument, at the string", "second instrument, at the array"),
    blocks=tuple(Block(name=f"{count} strings of 12 modules", cells=CELLS) for count in (2, 6, 24)),
    signs=SIGNS,
    notes=("a note",),
    title="Three things",
    description="Two of three.",
)
SHEETS = {"usual": Sheet(), "narrow": Sheet(width=230.0), "large-type": Sheet(type_scale=1.9)}


@pytest.mark.parametrize("sheet", SHEETS)
def test_nothing_written_lies_on_anything_else_or_leaves_the_sheet(sheet: str) -> None:
    assert faults(draw_matrix(MATRIX, sheet=SHEETS[sheet])) == []


def test_every_answer_is_told_by_a_sign_and_not_by_its_shade_alone() -> None:
    marks = draw_matrix(MATRIX).marks
    dots = [one for one in marks if isinstance(one, Dot)]
    assert sum(not one.hollow for one in dots) == 3 * 2 + 1, "and one where they are explained"
    assert sum(one.hollow for one in dots) == 3 * 1 + 1
    texts = [one.text for one in marks if isinstance(one, Text)]
    assert texts.count("?") == texts.count("–") == 3 + 1
    hatched = [one for one in marks if isinstance(one, Box) and one.hatch]
    assert len(hatched) == 3 + 1


def test_blocks_stand_side_by_side_as_far_as_there_is_room() -> None:
    def rows_named(sheet: Sheet) -> int:
        return sum(
            isinstance(one, Text) and one.text == "a third" for one in draw_matrix(MATRIX, sheet=sheet).marks
        )

    assert rows_named(SHEETS["usual"]) == 1
    assert rows_named(SHEETS["narrow"]) == 3


def test_it_is_put_out_as_svg_and_png_in_both_themes() -> None:
    light, dark = draw_matrix(MATRIX), draw_matrix(MATRIX, theme="dark")
    assert dark.palette is DARK
    assert "<title>Three things</title>" in write_svg(light)
    assert write_png(light, scale=1.0)[:8] == b"\x89PNG\r\n\x1a\n"
    assert write_svg(light) != write_svg(dark)


def test_what_does_not_fit_is_refused() -> None:
    with pytest.raises(FileError, match="does not fit the matrix"):
        replace(MATRIX, rows=("one",))
    with pytest.raises(FileError, match="does not fit the matrix"):
        replace(MATRIX, blocks=(Block(name="x", cells=(("yes", "maybe"), *CELLS[1:])),))
    with pytest.raises(FileError, match="0 blocks"):
        replace(MATRIX, blocks=())
    with pytest.raises(FileError, match="27 columns"):
        replace(MATRIX, columns=("x",) * 27)
