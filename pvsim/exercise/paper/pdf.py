"""A document as PDF on A4: text that can be selected, lines that stay sharp, no browser.

Each block becomes slabs, pieces as high as they are; a page takes as many as it has room for, and what is to
stay together goes to the next page together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pvsim.errors import FileError
from pvsim.exercise.given import LETTERS
from pvsim.exercise.paper.document import (
    Block,
    Caution,
    Document,
    Grid,
    Heading,
    Options,
    Picture,
    Prose,
    Together,
    Writing,
)
from pvsim.exercise.paper.ink import BLACK, GREY, RULE, Colour, Ink, Word
from pvsim.exercise.paper.prose import Paragraph, Run, paragraphs
from pvsim.exercise.paper.slab import Slab, gap, paged
from pvsim.words import _, speaking

__all__ = ["write_pdf"]

# All in pt. A4 is 210 mm by 297 mm (ISO 216).
_WIDTH, _HEIGHT = 595.28, 841.89
_LEFT, _TOP, _BOTTOM = 43.0, 36.0, 44.0
_ROOM = _WIDTH - 2 * _LEFT
_SIZE, _SMALL = 10.5, 8.5
_LEADING = 1.38
_ROW = 18.5  # of a table to write into, at least
_PAD = 3.2
_SHARES = (1.0, 0.93, 0.86, 0.8)  # of the width, for pictures: smaller where that spares a page


def write_pdf(document: Document) -> bytes:
    """Write a document.

    Raises
    ------
    FileError
        If fpdf2 is not installed.
    """
    try:
        import fpdf  # noqa: F401
    except ImportError:
        raise FileError(
            "PDF needs the package fpdf2",
            expected="fpdf2 to be installed",
            mend="Install pvsim with its page: pip install 'pvsim[page]', or take HTML",
        ) from None
    with speaking(document.language):
        return _Press(document).printed()


class _Press:
    """One document on its way to paper."""

    def __init__(self, document: Document) -> None:
        from fpdf import FPDF

        self.document = document
        self.pdf = FPDF(unit="pt", format="A4")
        self.pdf.set_auto_page_break(False)
        self.pdf.set_margin(0)
        self.pdf.set_title(f"{document.kind}: {document.title}")
        self.pdf.set_creator(document.foot.partition(" · ")[0])
        self.pdf.set_lang(document.language)
        self.ink = Ink(self.pdf)
        self._share = 1.0

    def printed(self) -> bytes:
        """The file."""
        pages: list[list[Slab]] = []
        for number in range(len(self.document.parts)):
            tried = [self._part(number, share) for share in _SHARES]
            counts = [len(one) for one in tried]
            pages += tried[counts.index(min(counts))]  # of equals the first, with the largest pictures
        for number, slabs in enumerate(pages, start=1):
            self.pdf.add_page()
            y = _TOP
            for slab in slabs:
                slab.draw(_LEFT, y)
                y += slab.height
            self._foot(number, len(pages))
        return bytes(self.pdf.output())

    def _part(self, number: int, share: float) -> list[list[Slab]]:
        """The pages of a part, its pictures as wide as a share of the text."""
        self._share = share
        slabs = [slab for block in self.document.parts[number] for slab in self._block(block, _ROOM)]
        if not number:
            slabs = [*self._head(), *slabs]
        if number == len(self.document.parts) - 1:
            slabs += self._notes()
        return paged(slabs, _HEIGHT - _TOP - _BOTTOM)

    # --- what stands around the parts

    def _head(self) -> list[Slab]:
        title = self.ink.lines((Run(text=self.document.title, bold=True),), _ROOM, 17.0)
        found = self._text_slabs(self.ink.lines((Run(text=self.document.kind),), _ROOM, _SIZE), _SIZE, GREY)
        found += self._text_slabs(title, 17.0)
        fields = self.document.fields
        width = (_ROOM - 16.0 * (len(fields) - 1)) / len(fields)

        def draw(x: float, y: float) -> None:
            for at, (name, value) in enumerate(fields):
                left = x + at * (width + 16.0)
                self.ink.write(left, y + 20.0, Run(text=name), 9.0, GREY)
                self.ink.write(
                    left + self.ink.width(name, False, 9.0) + 6.0, y + 20.0, Run(text=value), _SIZE
                )
                self.ink.line(left, y + 24.0, left + width, y + 24.0, 0.8)

        return [*found, Slab(height=34.0, draw=draw)]

    def _notes(self) -> list[Slab]:
        def rule(x: float, y: float) -> None:
            self.ink.line(x, y + 8.0, x + _ROOM, y + 8.0, 0.4, RULE)

        found = [Slab(height=14.0, draw=rule, keep=True)]
        for note in self.document.notes:
            found += self._text_slabs(self.ink.lines((Run(text=note),), _ROOM, _SMALL), _SMALL, GREY)
        return [replace(one, keep=one is not found[-1]) for one in found]

    def _foot(self, number: int, count: int) -> None:
        page = _("page {number} of {count}").format(number=number, count=count)
        y = _HEIGHT - 24.0
        room = _ROOM - self.ink.width(page, False, _SMALL) - 20.0
        foot = self.document.foot
        while self.ink.width(foot, False, _SMALL) > room:
            foot = foot[:-2].rstrip() + "…"
        self.ink.write(_LEFT, y, Run(text=foot), _SMALL, GREY)
        self.ink.write(_LEFT + _ROOM - self.ink.width(page, False, _SMALL), y, Run(text=page), _SMALL, GREY)

    # --- blocks

    def _block(self, block: Block, width: float) -> list[Slab]:
        if isinstance(block, Heading):
            return self._heading(block, width)
        if isinstance(block, Prose):
            size = _SMALL if block.small else _SIZE
            return [slab for one in paragraphs(block.text) for slab in self._paragraph(one, width, size)]
        if isinstance(block, Caution):
            return self._caution(block, width)
        if isinstance(block, Picture):
            return self._picture(block, width)
        if isinstance(block, Writing):
            return self._writing(block, width)
        if isinstance(block, Options):
            return self._options(block, width)
        if isinstance(block, Grid):
            return self._grid(block, width)
        return self._together(block, width)

    def _together(self, block: Together, width: float) -> list[Slab]:
        slabs = [slab for one in block.blocks for slab in self._block(one, width)]
        return [replace(one, keep=at < len(slabs) - 1) for at, one in enumerate(slabs)]

    def _heading(self, block: Heading, width: float) -> list[Slab]:
        size = 13.0 if block.level == 2 else 11.0
        beside = self.ink.width(block.beside, False, _SIZE) + 12.0 if block.beside else 0.0
        lines = self.ink.lines((Run(text=block.text, bold=True),), width - beside, size)
        found = [gap(10.0 if block.level == 2 else 6.0), *self._text_slabs(lines, size), gap(2.0)]
        if block.beside:
            first = found[1]

            def draw(x: float, y: float) -> None:
                first.draw(x, y)
                right = x + width - beside + 12.0
                self.ink.write(right, y + size, Run(text=block.beside), _SIZE, GREY)

            found[1] = replace(first, draw=draw)
        return [replace(one, keep=True) for one in found]

    def _paragraph(self, one: Paragraph, width: float, size: float) -> list[Slab]:
        lines = self.ink.lines(one.runs, width - one.indent, size)
        slabs = self._text_slabs(lines, size, indent=one.indent)
        if one.sign and slabs:
            first = slabs[0]

            def draw(x: float, y: float) -> None:
                self.ink.write(x + one.indent - 11.0, y + size, Run(text=one.sign), size)
                first.draw(x, y)

            slabs[0] = replace(first, draw=draw)
        last = len(slabs) - 1
        # Neither the first nor the last line of a paragraph stands alone on a page.
        slabs = [replace(slab, keep=at < last and at in (0, last - 1)) for at, slab in enumerate(slabs)]
        return [*slabs, gap(4.0)]

    def _caution(self, block: Caution, width: float) -> list[Slab]:
        lines = self.ink.lines((Run(text=block.text, bold=True),), width - 16.0, _SIZE)
        text = self._text_slabs(lines, _SIZE)
        height = sum(one.height for one in text) + 10.0

        def draw(x: float, y: float) -> None:
            self.ink.box(x, y + 3.0, width, height, 1.4)
            down = y + 8.0
            for slab in text:
                slab.draw(x + 8.0, down)
                down += slab.height

        return [Slab(height=height + 10.0, draw=draw, keep=True)]

    def _picture(self, block: Picture, width: float) -> list[Slab]:
        drawing = block.drawing
        scale = self._share * width / drawing.width

        def draw(x: float, y: float) -> None:
            for mark in drawing.marks:
                self.ink.mark(mark, drawing, x, y + 4.0, scale)

        caption = self._text_slabs(self.ink.lines((Run(text=block.caption),), width, _SMALL), _SMALL, GREY)
        last = len(caption) - 1
        caption = [replace(one, keep=at < last) for at, one in enumerate(caption)]
        return [Slab(height=drawing.height * scale + 10.0, draw=draw, keep=bool(caption)), *caption, gap(6.0)]

    def _writing(self, block: Writing, width: float) -> list[Slab]:
        label = Run(text=block.label, bold=bool(block.lines))

        def short(x: float, y: float) -> None:
            left = x + self.ink.width(block.label, False, _SIZE) + 8.0
            self.ink.write(x, y + 20.0, label, _SIZE)
            self.ink.line(left, y + 22.0, left + 170.0, y + 22.0, 0.8)
            self.ink.write(left + 176.0, y + 20.0, Run(text=block.unit), _SIZE)

        def long(x: float, y: float) -> None:
            self.ink.write(x, y + 14.0, label, 11.0)
            for at in range(block.lines):
                down = y + 16.0 + 20.0 * (at + 1)
                self.ink.line(x, down, x + width, down, 0.4, RULE)

        if block.lines:
            return [Slab(height=20.0 + 20.0 * block.lines, draw=long)]
        return [Slab(height=32.0, draw=short)]

    def _options(self, block: Options, width: float) -> list[Slab]:
        found: list[Slab] = []
        for at, (letter, text) in enumerate(zip(LETTERS, block.texts, strict=False)):
            right = at == block.right
            runs = tuple(replace(one, bold=one.bold or right) for one in _runs(text))
            slabs = self._text_slabs(self.ink.lines(runs, width - 34.0, _SIZE), _SIZE, indent=34.0)
            found += [*self._boxed(slabs, letter, right), gap(3.0)]
        return found

    def _boxed(self, slabs: list[Slab], letter: str, right: bool) -> list[Slab]:
        first = slabs[0] if slabs else gap(_SIZE * _LEADING)

        def draw(x: float, y: float) -> None:
            self.ink.box(x + 0.5, y + 1.8, 10.0, 10.0, 0.8)
            if right:
                self.ink.line(x + 2.0, y + 3.3, x + 9.0, y + 10.3, 1.2)
                self.ink.line(x + 2.0, y + 10.3, x + 9.0, y + 3.3, 1.2)
            self.ink.write(x + 18.0, y + _SIZE, Run(text=letter, bold=right), _SIZE)
            first.draw(x, y)

        last = len(slabs) - 1
        return [
            replace(one, keep=at < last) for at, one in enumerate([replace(first, draw=draw), *slabs[1:]])
        ]

    def _grid(self, block: Grid, width: float) -> list[Slab]:
        widths = [share * width for share in block.shares]
        caption = self.ink.lines((Run(text=block.caption, bold=True),), width, _SIZE)
        head = self._row(
            [(Run(text=one, bold=True),) for one in block.columns], widths, block.numbers, fill=True
        )
        rows = [self._row([_runs(one) for one in row], widths, block.numbers) for row in block.rows]
        found = [gap(6.0), *self._text_slabs(caption, _SIZE), gap(2.0), head]
        short = len(rows) <= 6 and sum(one.height for one in rows) < 260.0
        found = [replace(one, keep=True) for one in found]
        found += [replace(one, keep=short and at < len(rows) - 1) for at, one in enumerate(rows)]
        return [*found, gap(6.0)]

    def _row(
        self, cells: Sequence[tuple[Run, ...]], widths: Sequence[float], numbers: int, *, fill: bool = False
    ) -> Slab:
        size = 9.5
        texts = [
            self.ink.lines(runs, room - 2 * _PAD, size) for runs, room in zip(cells, widths, strict=True)
        ]
        leading = size * 1.3
        height = max(_ROW if not fill else 0.0, 2 * _PAD + leading * max(1, *map(len, texts)))
        first = len(cells) - numbers

        def draw(x: float, y: float) -> None:
            for at, (lines, room) in enumerate(zip(texts, widths, strict=True)):
                if fill:
                    self.pdf.set_fill_color(240, 240, 240)
                    self.pdf.rect(x, y, room, height, style="F")
                self.ink.box(x, y, room, height, 0.5, RULE)
                for number, line in enumerate(lines):
                    spare = room - 2 * _PAD - sum(word.width for word in line)
                    left = x + _PAD + (spare if at >= first else 0.0)
                    self.ink.write_line(left, y + _PAD + size * 0.95 + leading * number, line, size)
                x += room

        return Slab(height=height, draw=draw)

    def _text_slabs(
        self,
        lines: Sequence[list[Word]],
        size: float,
        colour: Colour = BLACK,
        *,
        indent: float = 0.0,
    ) -> list[Slab]:
        def slab(line: list[Word]) -> Slab:
            def draw(x: float, y: float) -> None:
                self.ink.write_line(x + indent, y + size, line, size, colour)

            return Slab(height=size * _LEADING, draw=draw)

        return [slab(line) for line in lines]


def _runs(markdown: str) -> tuple[Run, ...]:
    """Markdown as one stretch of runs."""
    found: list[Run] = []
    for one in paragraphs(markdown):
        found += [*([Run(text=" ")] if found else []), *one.runs]
    return tuple(found)
