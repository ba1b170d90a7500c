"""Texts of lessons and exercises with their numbers filled in, still Markdown; as bare words; as HTML."""

from __future__ import annotations

import re
from collections.abc import Callable

from pvsim.course.number.evaluation import Number, Readings, parse_number, show
from pvsim.course.text.blocks import blocks
from pvsim.course.text.terms import TERM
from pvsim.course.text.typed_numbers import COMPUTED
from pvsim.course.text.warrant import is_warrant
from pvsim.errors import PvsimError
from pvsim.words import _

__all__ = ["BLANK", "as_html", "bare", "filled"]

BLANK = "\\_\\_\\_\\_\\_\\_"  # where a number is to be written by hand; escaped, so that it stays as it is

_STRONG = re.compile(r"(\*{1,3}|_{2,3})(?=\S)(.+?)(?<=\S)\1", re.DOTALL)
_SUBSCRIPT = re.compile(r"~([\w,]{1,12})~")
_GAPS = re.compile(r"\n{3,}")
_PARAGRAPHS = re.compile(r"\n[ \t]*\n\s*")


def filled(
    text: str, readings: Readings, language: str, hidden: Callable[[Number, Readings], bool] | None = None
) -> str:
    """A text with its computed numbers written out, without figures, asides and warrants.

    Parameters
    ----------
    text : str
        Markdown of a lesson.
    readings : Readings
        Where its numbers are read from.
    language : str
        That numbers are written in; units in the one spoken now.
    hidden : callable, optional
        Whether a number is left blank.
    """
    lines = text.split("\n")
    for block in blocks(text):
        lines[block.line : block.end + 1] = [""] * (min(block.end, len(lines) - 1) - block.line + 1)
    words = TERM.sub(lambda match: match[1], "\n".join(lines))
    words = COMPUTED.sub(lambda match: _number(match[1], readings, language, hidden), words)
    return _GAPS.sub("\n\n", words).strip()


def _number(
    inside: str, readings: Readings, language: str, hidden: Callable[[Number, Readings], bool] | None
) -> str:
    if is_warrant(inside):
        return ""
    try:
        number = parse_number(inside)
        return BLANK if hidden is not None and hidden(number, readings) else show(number, readings, language)
    except PvsimError:  # a place this array does not have; the reader has checked all else
        return _("no value")


def bare(markdown: str) -> str:
    """A text without its Markdown, each paragraph on one line: for terminals, tables and TOML."""
    found = "\n\n".join(" ".join(one.split()) for one in _PARAGRAPHS.split(markdown.strip()))
    found = _SUBSCRIPT.sub(r"\1", found)
    for _round in range(2):  # strong within emphasis
        found = _STRONG.sub(r"\2", found)
    return found


def as_html(markdown: str) -> str:
    """A text as HTML without scripts, images and foreign tags; needs a Markdown reader (the extra `page`)."""
    from pvsim.course.lesson.render import render_text

    return render_text(markdown).strip()
