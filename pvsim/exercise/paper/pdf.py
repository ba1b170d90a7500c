"""A document as PDF on A4: text that can be selected, lines that stay sharp, no browser.

Each block becomes slabs, pieces as high as they are; a page takes as many as it has room for, and what is to
stay together goes to the next page together.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING
from unicodedata import normalize

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
from pvsim.exercise.paper.face import face_file
from pvsim.exercise.paper.prose import Paragraph, Run, paragraphs
from pvsim.files.figure.drawing import Box, Dot, Drawing, Line, Mark, Palette, Text
from pvsim.files.figure.svg import hatch_strokes
from pvsim.words import _, speaking

if TYPE_CHECKING:
    from fpdf import FPDF

__all__ = ["write_pdf"]

# All in pt. A4 is 210 mm by 297 mm (ISO 216).
_WIDTH, _HEIGHT = 595.28, 841.89
_LEFT, _TOP, _BOTTOM = 43.0, 43.0, 54.0
_ROOM = _WIDTH - 2 * _LEFT
_SIZE, _SMALL = 10.5, 8.5
_LEADING = 1.38
_ROW = 21.0  # of a table to write into, at least
_PAD = 4.0
_SLANT_deg = 10.0
_GREY, _INK, _RULE = (74, 74, 74), (0, 0, 0), (119, 119, 119)
_FAMILY = "paper"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Slab:
    """A piece of a page.

    Parameters
    ----------
    height : float
    draw : callable
        Draws it with its upper left corner at x, y.
    keep : bool
        Not at the foot of a page without what follows.
    space : bool
        Left out at the top of a page.
    """

    height: float
    draw: Callable[[float, float], None]
    keep: bool = False
    space: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class _Word:
    """A piece of a line, and its width."""

    run: Run
    width: float


def write_pdf(document: Document) -> bytes:
    """Write a document.

    Raises
    ------
    ModuleNotFoundError
        If fpdf2 is not installed, which the extra `page` has.
    """
    with speaking(document.language):
        return _Press(document).printed()


class _Press:
    """One document on its way to paper."""

    def __init__(self, document: Document) -> None:
        from fpdf import FPDF

        self.document = document
        self.pdf: FPDF = FPDF(unit="pt", format="A4")
        self.pdf.set_auto_page_break(False)
        self.pdf.set_margin(0)
        for style in ("", "B"):
            self.pdf.add_font(_FAMILY, style, face_file(bold=bool(style)))
        self.pdf.set_title(f"{document.kind}: {document.title}")
        self.pdf.set_creator(document.foot.partition(" · ")[0])
        self.pdf.set_lang(document.language)
        self._letters = set(self.pdf.fonts[_FAMILY].cmap)
        self._widths: dict[tuple[str, bool, float], float] = {}

    def printed(self) -> bytes:
        """The file."""
        pages: list[list[_Slab]] = []
        last = len(self.document.parts) - 1
        for number, part in enumerate(self.document.parts):
            slabs = [slab for block in part for slab in self._block(block, _ROOM)]
            if not number:
                slabs = [*self._head(), *slabs]
            if number == last:
                slabs += self._notes()
            pages += _paged(slabs, _HEIGHT - _TOP - _BOTTOM)
        for number, slabs in enumerate(pages, start=1):
            self.pdf.add_page()
            y = _TOP
            for slab in slabs:
                slab.draw(_LEFT, y)
                y += slab.height
            self._foot(number, len(pages))
        return bytes(self.pdf.output())

    # --- what stands around the parts

    def _head(self) -> list[_Slab]:
        title = self._lines((Run(text=self.document.title, bold=True),), _ROOM, 17.0)
        found = self._text_slabs(self._lines((Run(text=self.document.kind),), _ROOM, _SIZE), _SIZE, _GREY)
        found += self._text_slabs(title, 17.0)
        fields = self.document.fields
        width = (_ROOM - 16.0 * (len(fields) - 1)) / len(fields)

        def draw(x: float, y: float) -> None:
            for at, (name, value) in enumerate(fields):
                left = x + at * (width + 16.0)
                self._write(left, y + 20.0, Run(text=name), 9.0, _GREY)
                self._write(left + self._width(name, False, 9.0) + 6.0, y + 20.0, Run(text=value), _SIZE)
                self._line(left, y + 24.0, left + width, y + 24.0, 0.8)

        return [*found, _Slab(height=34.0, draw=draw)]

    def _notes(self) -> list[_Slab]:
        def rule(x: float, y: float) -> None:
            self._line(x, y + 8.0, x + _ROOM, y + 8.0, 0.4, _RULE)

        found = [_Slab(height=14.0, draw=rule, keep=True)]
        for note in self.document.notes:
            found += self._text_slabs(self._lines((Run(text=note),), _ROOM, _SMALL), _SMALL, _GREY)
        return [replace(one, keep=one is not found[-1]) for one in found]

    def _foot(self, number: int, count: int) -> None:
        page = _("page {number} of {count}").format(number=number, count=count)
        y = _HEIGHT - 26.0
        room = _ROOM - self._width(page, False, _SMALL) - 20.0
        foot = self.document.foot
        while self._width(foot, False, _SMALL) > room:
            foot = foot[:-2].rstrip() + "…"
        self._write(_LEFT, y, Run(text=foot), _SMALL, _GREY)
        self._write(_LEFT + _ROOM - self._width(page, False, _SMALL), y, Run(text=page), _SMALL, _GREY)

    # --- blocks

    def _block(self, block: Block, width: float) -> list[_Slab]:
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

    def _together(self, block: Together, width: float) -> list[_Slab]:
        slabs = [slab for one in block.blocks for slab in self._block(one, width)]
        return [replace(one, keep=at < len(slabs) - 1) for at, one in enumerate(slabs)]

    def _heading(self, block: Heading, width: float) -> list[_Slab]:
        size = 13.0 if block.level == 2 else 11.0
        beside = self._width(block.beside, False, _SIZE) + 12.0 if block.beside else 0.0
        lines = self._lines((Run(text=block.text, bold=True),), width - beside, size)
        found = [_gap(10.0 if block.level == 2 else 6.0), *self._text_slabs(lines, size), _gap(2.0)]
        if block.beside:
            first = found[1]

            def draw(x: float, y: float) -> None:
                first.draw(x, y)
                right = x + width - beside + 12.0
                self._write(right, y + size, Run(text=block.beside), _SIZE, _GREY)

            found[1] = replace(first, draw=draw)
        return [replace(one, keep=True) for one in found]

    def _paragraph(self, one: Paragraph, width: float, size: float) -> list[_Slab]:
        lines = self._lines(one.runs, width - one.indent, size)
        slabs = self._text_slabs(lines, size, indent=one.indent)
        if one.sign and slabs:
            first = slabs[0]

            def draw(x: float, y: float) -> None:
                first.draw(x, y)
                self._write(x + one.indent - 11.0, y + size, Run(text=one.sign), size)

            slabs[0] = replace(first, draw=draw)
        last = len(slabs) - 1
        # Neither the first nor the last line of a paragraph stands alone on a page.
        slabs = [replace(slab, keep=at < last and at in (0, last - 1)) for at, slab in enumerate(slabs)]
        return [*slabs, _gap(4.0)]

    def _caution(self, block: Caution, width: float) -> list[_Slab]:
        lines = self._lines((Run(text=block.text, bold=True),), width - 16.0, _SIZE)
        text = self._text_slabs(lines, _SIZE)
        height = sum(one.height for one in text) + 10.0

        def draw(x: float, y: float) -> None:
            self._box(x, y + 3.0, width, height, 1.4)
            down = y + 8.0
            for slab in text:
                slab.draw(x + 8.0, down)
                down += slab.height

        return [_Slab(height=height + 10.0, draw=draw, keep=True)]

    def _picture(self, block: Picture, width: float) -> list[_Slab]:
        drawing = block.drawing
        scale = width / drawing.width

        def draw(x: float, y: float) -> None:
            for mark in drawing.marks:
                self._mark(mark, drawing, x, y + 4.0, scale)

        caption = self._text_slabs(self._lines((Run(text=block.caption),), width, _SMALL), _SMALL, _GREY)
        last = len(caption) - 1
        caption = [replace(one, keep=at < last) for at, one in enumerate(caption)]
        return [_Slab(height=drawing.height * scale + 10.0, draw=draw, keep=bool(caption)), *caption, _gap(6.0)]

    def _writing(self, block: Writing, width: float) -> list[_Slab]:
        label = Run(text=block.label, bold=bool(block.lines))

        def short(x: float, y: float) -> None:
            left = x + self._width(block.label, False, _SIZE) + 8.0
            self._write(x, y + 20.0, label, _SIZE)
            self._line(left, y + 22.0, left + 170.0, y + 22.0, 0.8)
            self._write(left + 176.0, y + 20.0, Run(text=block.unit), _SIZE)

        def long(x: float, y: float) -> None:
            self._write(x, y + 14.0, label, 11.0)
            for at in range(block.lines):
                down = y + 18.0 + 22.0 * (at + 1)
                self._line(x, down, x + width, down, 0.4, _RULE)

        if block.lines:
            return [_Slab(height=22.0 + 22.0 * block.lines, draw=long)]
        return [_Slab(height=32.0, draw=short)]

    def _options(self, block: Options, width: float) -> list[_Slab]:
        found: list[_Slab] = []
        for at, (letter, text) in enumerate(zip(LETTERS, block.texts, strict=False)):
            right = at == block.right
            runs = tuple(replace(one, bold=one.bold or right) for one in _runs(text))
            slabs = self._text_slabs(self._lines(runs, width - 34.0, _SIZE), _SIZE, indent=34.0)
            found += [*self._boxed(slabs, letter, right), _gap(3.0)]
        return found

    def _boxed(self, slabs: list[_Slab], letter: str, right: bool) -> list[_Slab]:
        first = slabs[0] if slabs else _gap(_SIZE * _LEADING)

        def draw(x: float, y: float) -> None:
            first.draw(x, y)
            self._box(x + 0.5, y + 1.8, 10.0, 10.0, 0.8)
            if right:
                self._line(x + 2.0, y + 3.3, x + 9.0, y + 10.3, 1.2)
                self._line(x + 2.0, y + 10.3, x + 9.0, y + 3.3, 1.2)
            self._write(x + 18.0, y + _SIZE, Run(text=letter, bold=right), _SIZE)

        last = len(slabs) - 1
        return [replace(one, keep=at < last) for at, one in enumerate([replace(first, draw=draw), *slabs[1:]])]

    def _grid(self, block: Grid, width: float) -> list[_Slab]:
        widths = [share * width for share in block.shares]
        caption = self._lines((Run(text=block.caption, bold=True),), width, _SIZE)
        head = self._row(
            [(Run(text=one, bold=True),) for one in block.columns], widths, block.numbers, fill=True
        )
        rows = [self._row([_runs(one) for one in row], widths, block.numbers) for row in block.rows]
        found = [_gap(6.0), *self._text_slabs(caption, _SIZE), _gap(2.0), head]
        short = len(rows) <= 6 and sum(one.height for one in rows) < 260.0
        found = [replace(one, keep=True) for one in found]
        found += [replace(one, keep=short and at < len(rows) - 1) for at, one in enumerate(rows)]
        return [*found, _gap(6.0)]

    def _row(
        self, cells: Sequence[tuple[Run, ...]], widths: Sequence[float], numbers: int, *, fill: bool = False
    ) -> _Slab:
        size = 9.5
        texts = [
            self._lines(runs, room - 2 * _PAD, size) for runs, room in zip(cells, widths, strict=True)
        ]
        leading = size * 1.3
        height = max(_ROW if not fill else 0.0, 2 * _PAD + leading * max(1, *map(len, texts)))
        first = len(cells) - numbers

        def draw(x: float, y: float) -> None:
            for at, (lines, room) in enumerate(zip(texts, widths, strict=True)):
                if fill:
                    self.pdf.set_fill_color(240, 240, 240)
                    self.pdf.rect(x, y, room, height, style="F")
                self._box(x, y, room, height, 0.5, _RULE)
                for number, line in enumerate(lines):
                    spare = room - 2 * _PAD - sum(word.width for word in line)
                    left = x + _PAD + (spare if at >= first else 0.0)
                    self._write_line(left, y + _PAD + size * 0.95 + leading * number, line, size)
                x += room

        return _Slab(height=height, draw=draw)

    # --- lines of words

    def _lines(self, runs: Sequence[Run], width: float, size: float) -> list[list[_Word]]:
        """Runs in lines of a width; they are broken at spaces, and within a word that is wider."""
        lines: list[list[_Word]] = [[]]
        used, pending = 0.0, 0.0
        gap: list[_Word] = []
        for chunk in _chunks(runs):
            words = [self._word(run, size) for run in chunk]
            total = sum(word.width for word in words)
            if all(word.run.text.isspace() and word.run.text == " " for word in words):
                gap, pending = words, total
                continue
            if lines[-1] and used + pending + total > width:
                lines.append([])
                used, gap, pending = 0.0, [], 0.0
            if lines[-1]:
                lines[-1] += gap
                used += pending
            for word in words:
                for piece in self._cut(word, width, size):
                    if lines[-1] and used + piece.width > width + 0.01:
                        lines.append([])
                        used = 0.0
                    lines[-1].append(piece)
                    used += piece.width
            gap, pending = [], 0.0
        return [_joined(line) for line in lines if line]

    def _cut(self, word: _Word, width: float, size: float) -> list[_Word]:
        if word.width <= width:
            return [word]
        found, text = [], ""
        for letter in word.run.text:
            if text and self._word(replace(word.run, text=text + letter), size).width > width:
                found.append(self._word(replace(word.run, text=text), size))
                text = ""
            text += letter
        return [*found, self._word(replace(word.run, text=text), size)]

    def _word(self, run: Run, size: float) -> _Word:
        clean = replace(run, text="".join(map(self._printable, run.text)))
        return _Word(run=clean, width=self._width(clean.text, run.bold, size * (0.72 if run.sub else 1.0)))

    def _printable(self, letter: str) -> str:
        """A letter that the face has; one without its accent or a question mark in its place."""
        if ord(letter) in self._letters:
            return letter
        plain = normalize("NFKD", letter)[0]
        return plain if ord(plain) in self._letters else "?"

    def _width(self, text: str, bold: bool, size: float) -> float:
        key = (text, bold, size)
        if key not in self._widths:
            text = "".join(map(self._printable, text))
            self.pdf.set_font(_FAMILY, "B" if bold else "", size)
            self._widths[key] = float(self.pdf.get_string_width(text)) if text else 0.0
        return self._widths[key]

    def _text_slabs(
        self,
        lines: Sequence[list[_Word]],
        size: float,
        colour: tuple[int, int, int] = _INK,
        *,
        indent: float = 0.0,
    ) -> list[_Slab]:
        def slab(line: list[_Word]) -> _Slab:
            def draw(x: float, y: float) -> None:
                self._write_line(x + indent, y + size, line, size, colour)

            return _Slab(height=size * _LEADING, draw=draw)

        return [slab(line) for line in lines]

    # --- ink

    def _write_line(
        self,
        x: float,
        y: float,
        line: Sequence[_Word],
        size: float,
        colour: tuple[int, int, int] = _INK,
    ) -> None:
        for word in line:
            self._write(x, y, word.run, size, colour)
            x += word.width

    def _write(
        self, x: float, y: float, run: Run, size: float, colour: tuple[int, int, int] = _INK
    ) -> None:
        text = "".join(map(self._printable, run.text))
        if not text:
            return
        pdf = self.pdf
        pdf.set_text_color(*colour)
        pdf.set_font(_FAMILY, "B" if run.bold else "", size * (0.72 if run.sub else 1.0))
        y += 0.18 * size if run.sub else 0.0
        if run.italic:
            with pdf.skew(ax=_SLANT_deg, ay=0, x=x, y=y):
                pdf.text(x, y, text)
        else:
            pdf.text(x, y, text)

    def _line(
        self, x1: float, y1: float, x2: float, y2: float, width: float, colour: tuple[int, int, int] = _INK
    ) -> None:
        self.pdf.set_line_width(width)
        self.pdf.set_draw_color(*colour)
        self.pdf.line(x1, y1, x2, y2)

    def _box(
        self,
        x: float,
        y: float,
        width: float,
        height: float,
        line: float,
        colour: tuple[int, int, int] = _INK,
    ) -> None:
        self.pdf.set_line_width(line)
        self.pdf.set_draw_color(*colour)
        self.pdf.rect(x, y, width, height)

    def _mark(self, mark: Mark, drawing: Drawing, left: float, top: float, scale: float) -> None:
        """One mark of a drawing."""
        pdf, palette = self.pdf, drawing.palette
        if isinstance(mark, Line):
            pdf.set_line_width(mark.width * scale)
            pdf.set_draw_color(*_rgb(palette[mark.role]))
            if mark.dash:
                on, off = mark.dash[:2]
                pdf.set_dash_pattern(dash=on * scale, gap=off * scale)
            pdf.polyline([(left + x * scale, top + y * scale) for x, y in mark.points])
            pdf.set_dash_pattern()
        elif isinstance(mark, Dot):
            ground, ink = _rgb(palette["ground"]), _rgb(palette[mark.role])
            fill, rim = (ground, ink) if mark.hollow else (ink, ground)
            pdf.set_line_width(1.5 * scale)
            pdf.set_draw_color(*rim)
            pdf.set_fill_color(*fill)
            pdf.circle(left + mark.x * scale, top + mark.y * scale, mark.radius * scale, style="DF")
        elif isinstance(mark, Box):
            self._filled(mark, palette, left, top, scale)
        else:
            run = Run(text=mark.text, bold=mark.bold)
            width = self._width(mark.text, mark.bold, mark.size * scale)
            x = left + mark.x * scale - {"start": 0.0, "middle": 0.5, "end": 1.0}[mark.anchor] * width
            self._write(x, top + mark.y * scale, run, mark.size * scale, _rgb(palette[mark.role]))

    def _filled(self, box: Box, palette: Palette, left: float, top: float, scale: float) -> None:
        pdf = self.pdf
        pdf.set_fill_color(*_rgb(box.fill or palette[box.role]))
        x, y = left + box.x * scale, top + box.y * scale
        if box.rim:
            pdf.set_line_width(min(scale, 0.12 * min(box.width, box.height) * scale))
            pdf.set_draw_color(*_rgb(palette[box.rim]))
        pdf.rect(x, y, box.width * scale, box.height * scale, style="DF" if box.rim else "F")
        if box.hatch:
            pdf.set_line_width(0.8 * scale)
            pdf.set_draw_color(*_rgb(palette[box.hatch]))
            for a, b, c, d in hatch_strokes(box):
                pdf.line(left + a * scale, top + b * scale, left + c * scale, top + d * scale)


def _paged(slabs: Sequence[_Slab], room: float) -> list[list[_Slab]]:
    """Slabs by the page: those that are kept with the next go over together, if one page can hold them."""
    groups: list[list[_Slab]] = [[]]
    for slab in slabs:
        groups[-1].append(slab)
        if not slab.keep:
            groups.append([])
    pages: list[list[_Slab]] = [[]]
    used = 0.0
    for group in (one for one in groups if one):
        height = sum(slab.height for slab in group)
        pieces = [group] if height <= room else [[slab] for slab in group]
        for piece in pieces:
            high = sum(slab.height for slab in piece)
            ink = high - (piece[-1].height if piece[-1].space else 0.0)
            if pages[-1] and used + ink > room:
                pages.append([])
                used = 0.0
            for slab in piece:
                if slab.space and not pages[-1]:
                    continue
                pages[-1].append(slab)
                used += slab.height
    return [page for page in pages if any(not slab.space for slab in page)]


def _gap(height: float) -> _Slab:
    return _Slab(height=height, draw=lambda _x, _y: None, space=True)


def _runs(markdown: str) -> tuple[Run, ...]:
    """Markdown as one stretch of runs."""
    found: list[Run] = []
    for one in paragraphs(markdown):
        found += [*([Run(text=" ")] if found else []), *one.runs]
    return tuple(found)


def _chunks(runs: Sequence[Run]) -> list[list[Run]]:
    """Runs cut at spaces: words, each with all its looks, and the spaces between them."""
    found: list[list[Run]] = []
    within = False
    for run in runs:
        for number, text in enumerate(run.text.split(" ")):
            if number:
                found.append([replace(run, text=" ")])
                within = False
            if not text:
                continue
            if within:
                found[-1].append(replace(run, text=text))
            else:
                found.append([replace(run, text=text)])
            within = True
    return found


def _joined(line: Sequence[_Word]) -> list[_Word]:
    """Neighbours that look alike as one piece, so that a text is one text for whoever selects it."""
    found: list[_Word] = []
    for word in line:
        if found and replace(found[-1].run, text="") == replace(word.run, text=""):
            run = replace(word.run, text=found[-1].run.text + word.run.text)
            found[-1] = _Word(run=run, width=found[-1].width + word.width)
        else:
            found.append(word)
    return found


def _rgb(colour: str) -> tuple[int, int, int]:
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)
