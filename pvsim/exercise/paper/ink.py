"""Ink on a page of a PDF: words set in lines, rules, boxes, and the marks of drawings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING
from unicodedata import normalize

from pvsim.exercise.paper.prose import Run
from pvsim.files.face import face_file
from pvsim.files.figure.drawing import Box, Dot, Drawing, Line, Mark, Palette
from pvsim.files.figure.svg import hatch_strokes

if TYPE_CHECKING:
    from fpdf import FPDF

__all__ = ["BLACK", "GREY", "RULE", "Ink", "Word", "letters_lost"]

Colour = tuple[int, int, int]
BLACK: Colour = (0, 0, 0)
GREY: Colour = (74, 74, 74)
RULE: Colour = (119, 119, 119)

_SUBSCRIPT = 0.72  # of the size of its type
_SLANT_deg = 10.0  # the typeface has no italic here
_FAMILY = "paper"


@dataclass(frozen=True, slots=True, kw_only=True)
class Word:
    """A piece of a line, and its width."""

    run: Run
    width: float


class Ink:
    """Sets and draws on a PDF, all in pt from the upper left corner."""

    def __init__(self, pdf: FPDF) -> None:
        self.pdf = pdf
        for style in ("", "B"):
            pdf.add_font(_FAMILY, style, face_file(bold=bool(style)))
        self._letters = _letters()
        self._widths: dict[tuple[str, bool, float], float] = {}

    def lines(self, runs: Sequence[Run], width: float, size: float) -> list[list[Word]]:
        """Runs in lines of a width; they are broken at spaces, and within a word that is wider."""
        lines: list[list[Word]] = [[]]
        used, pending = 0.0, 0.0
        gap: list[Word] = []
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

    def _cut(self, word: Word, width: float, size: float) -> list[Word]:
        if word.width <= width:
            return [word]
        found, text = [], ""
        for letter in word.run.text:
            if text and self._word(replace(word.run, text=text + letter), size).width > width:
                found.append(self._word(replace(word.run, text=text), size))
                text = ""
            text += letter
        return [*found, self._word(replace(word.run, text=text), size)]

    def _word(self, run: Run, size: float) -> Word:
        clean = replace(run, text="".join(map(self._printable, run.text)))
        return Word(
            run=clean, width=self.width(clean.text, run.bold, size * (_SUBSCRIPT if run.sub else 1.0))
        )

    def _printable(self, letter: str) -> str:
        """A letter that the face has; one without its accent or a question mark in its place."""
        return _printed_as(letter, self._letters) or "?"

    def width(self, text: str, bold: bool, size: float) -> float:
        key = (text, bold, size)
        if key not in self._widths:
            text = "".join(map(self._printable, text))
            self.pdf.set_font(_FAMILY, "B" if bold else "", size)
            self._widths[key] = float(self.pdf.get_string_width(text)) if text else 0.0
        return self._widths[key]

    def write_line(
        self,
        x: float,
        y: float,
        line: Sequence[Word],
        size: float,
        colour: Colour = BLACK,
    ) -> None:
        for word in line:
            self.write(x, y, word.run, size, colour)
            x += word.width

    def write(self, x: float, y: float, run: Run, size: float, colour: Colour = BLACK) -> None:
        text = "".join(map(self._printable, run.text))
        if not text:
            return
        pdf = self.pdf
        pdf.set_text_color(*colour)
        pdf.set_font(_FAMILY, "B" if run.bold else "", size * (_SUBSCRIPT if run.sub else 1.0))
        y += 0.18 * size if run.sub else 0.0
        if run.italic:
            with pdf.skew(ax=_SLANT_deg, ay=0, x=x, y=y):
                pdf.text(x, y, text)
        else:
            pdf.text(x, y, text)

    def line(self, x1: float, y1: float, x2: float, y2: float, width: float, colour: Colour = BLACK) -> None:
        self.pdf.set_line_width(width)
        self.pdf.set_draw_color(*colour)
        self.pdf.line(x1, y1, x2, y2)

    def box(
        self,
        x: float,
        y: float,
        width: float,
        height: float,
        line: float,
        colour: Colour = BLACK,
    ) -> None:
        self.pdf.set_line_width(line)
        self.pdf.set_draw_color(*colour)
        self.pdf.rect(x, y, width, height)

    def mark(self, mark: Mark, drawing: Drawing, left: float, top: float, scale: float) -> None:
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
            width = self.width(mark.text, mark.bold, mark.size * scale)
            x = left + mark.x * scale - {"start": 0.0, "middle": 0.5, "end": 1.0}[mark.anchor] * width
            self.write(x, top + mark.y * scale, run, mark.size * scale, _rgb(palette[mark.role]))

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


def _joined(line: Sequence[Word]) -> list[Word]:
    """Neighbours that look alike as one piece, so that a text is one text for whoever selects it."""
    found: list[Word] = []
    for word in line:
        if found and replace(found[-1].run, text="") == replace(word.run, text=""):
            run = replace(word.run, text=found[-1].run.text + word.run.text)
            found[-1] = Word(run=run, width=found[-1].width + word.width)
        else:
            found.append(word)
    return found


def _rgb(colour: str) -> tuple[int, int, int]:
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def letters_lost(text: str) -> str:
    """Letters of a text in whose place a PDF has a question mark, each once."""
    face = _letters()
    return "".join(dict.fromkeys(one for one in text if not _printed_as(one, face)))


def _letters() -> frozenset[int]:
    from fontTools.ttLib import TTFont

    with TTFont(face_file()) as face:
        return frozenset(face.getBestCmap())


def _printed_as(letter: str, face: frozenset[int]) -> str:
    """A letter, or without its accent, as far as the face has it; else nothing."""
    plain = normalize("NFKD", letter)[0]
    return letter if ord(letter) in face else plain if ord(plain) in face else ""
