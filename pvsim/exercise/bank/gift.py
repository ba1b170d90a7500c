"""Questions as GIFT, the text format that many learning platforms read.

Traps of the format: a decimal comma in a number makes every answer right, so numbers have a point in every
language; a blank line ends a question, so each text stands on one line; ~ = # { } : and the backslash
mean something and are escaped; a weight that is not on the platform's list is refused there. From memory.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

import pvsim
from pvsim.exercise.bank.outcome import number_outcomes, stem_html, weight_of
from pvsim.exercise.item import ChoiceItem, Item, NumberItem
from pvsim.exercise.wording import as_html
from pvsim.files.provenance import MODEL_LIMITS, one_line

__all__ = ["escaped", "write_gift"]

_MEANT = re.compile(r"([\\~=#{}:])")
_GAP = re.compile(r"\s*\n\s*")


def write_gift(items: Iterable[Item], category: str = "") -> str:
    """A bank of questions.

    Parameters
    ----------
    items : iterable of Item
    category : str
        Where the platform files them.

    Raises
    ------
    FileError
        If a share is none of the platform's weights.
    """
    comments = (
        f"Questions with their answers, written by pvsim {pvsim.__version__}: keep them from students.",
        *MODEL_LIMITS,
    )
    head = [f"// {one}" for one in comments]
    if category:
        head += ["", f"$CATEGORY: {one_line(category)}"]
    return "\n".join([*head, *(f"\n{_question(one)}" for one in items), ""])


def _question(item: Item) -> str:
    answers = _numbers(item) if isinstance(item, NumberItem) else _choices(item)
    if item.solution:
        answers.append(f"\t####{_html(as_html(item.solution))}")
    opening = "{#" if isinstance(item, NumberItem) else "{"
    return "\n".join([f"::{escaped(item.id)}::[html]{_html(stem_html(item))}{opening}", *answers, "}"])


def _numbers(item: NumberItem) -> list[str]:
    lines: list[str] = []
    for one in number_outcomes(item):
        weight = "" if one.share == 1.0 else f"%{weight_of(one.share, item)}%"
        feedback = f"#{_html(one.feedback)}" if one.feedback else ""
        lines.append(f"\t={weight}{one.value}:{one.tolerance}{feedback}")
    return lines


def _choices(item: ChoiceItem) -> list[str]:
    lines: list[str] = []
    for one in item.choices:
        weight = "" if one.share in (0.0, 1.0) else f"%{weight_of(one.share, item)}%"
        feedback = f"#{_html(as_html(one.feedback))}" if one.feedback else ""
        lines.append(f"\t{'=' if one.share == 1.0 else '~'}{weight}{_html(as_html(one.text))}{feedback}")
    return lines


def _html(html: str) -> str:
    return escaped(_GAP.sub(" ", html.strip()))


def escaped(text: str) -> str:
    """A text with a backslash before each sign that means something."""
    return _MEANT.sub(r"\\\1", text)
