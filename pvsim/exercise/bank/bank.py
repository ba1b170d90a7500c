"""One bank in the form of a platform, and the variants of exercises that fill it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pvsim.exercise.bank.gift import write_gift
from pvsim.exercise.bank.moodle_xml import write_moodle_xml
from pvsim.exercise.bank.qti import write_qti
from pvsim.exercise.case import MOST_CASE, ExerciseCase
from pvsim.exercise.item import Item
from pvsim.exercise.template import Template, make_item

__all__ = ["BANK_FORMS", "variants_of", "write_bank"]

BANK_FORMS = ("gift", "moodle", "qti")


def variants_of(templates: Sequence[Template], case: ExerciseCase, count: int) -> list[Item]:
    """Each exercise in so many cases, the first of them `case`; the number of its case ends each id.

    Raises
    ------
    LessonError
        If what is drawn makes no exercise of one.
    """
    cases = [replace(case, seed=(case.seed + at) % (MOST_CASE + 1)) for at in range(count)]
    return [
        replace(made, id=f"{made.id}/{one.seed}")
        for one in cases
        for made in (make_item(template, one) for template in templates)
    ]


def write_bank(items: Sequence[Item], title: str, form: str) -> bytes:
    """A bank as a file.

    Parameters
    ----------
    items : sequence of Item
    title : str
        Of the category that a platform puts them in.
    form : str
        One of BANK_FORMS; QTI is a package, the others are text.

    Raises
    ------
    FileError
        If the platform cannot take one of them as it is.
    """
    if form == "qti":
        return write_qti(items, title)
    return (write_gift if form == "gift" else write_moodle_xml)(items, title).encode()
