"""An exercise as its file has it, and the item that each case makes of it: drawn, changed, solved anew."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from pvsim.array.scenario import Scenario
from pvsim.course.problem import as_error
from pvsim.course.table import Enough, Report
from pvsim.errors import PvsimError
from pvsim.exercise.case import ExerciseCase
from pvsim.exercise.draw import Draw, Values, drawn
from pvsim.exercise.item import Item
from pvsim.exercise.making import TEXTS, Making
from pvsim.exercise.posed import Posed
from pvsim.prompt import summary
from pvsim.words import speaking

__all__ = ["TEXTS", "Template", "make_item", "make_item_with", "pose", "try_item"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Template:
    """An exercise whose numbers are drawn.

    Parameters
    ----------
    id : str
        "diode/fresh/one-in-the-shade".
    language : str
        Of its texts.
    scenario : Scenario
        That every case begins with.
    draws : tuple of Draw
    values : mapping
        Its table as parsed, with `$name` where something is drawn.
    file, text : str
        Where it stands, for messages.
    at : int
        Which exercise of the file, from 0.
    """

    id: str
    language: str
    scenario: Scenario
    draws: tuple[Draw, ...]
    values: Mapping[str, Any]
    file: str
    text: str
    at: int

    __repr__ = summary


def make_item(template: Template, case: ExerciseCase) -> Item:
    """The item of a case, its answer solved anew.

    Raises
    ------
    LessonError
        If what is drawn makes no exercise of it; with file and line.
    """
    return make_item_with(template, drawn(template.draws, template.id, case))


def make_item_with(template: Template, values: Values) -> Item:
    """The item that these values of its draws make; raises as `make_item` does."""
    return _posed(template, values).item


def pose(template: Template, case: ExerciseCase) -> Posed:
    """The item of a case with the array it is about; raises as `make_item` does."""
    return _posed(template, drawn(template.draws, template.id, case))


def _posed(template: Template, values: Values) -> Posed:
    report = Report(file=template.file, toml=template.text, whole="the file")
    found: Posed | None = None
    with suppress(Enough):
        found = _try_posed(template, values, report)
    if found is None:
        raise as_error(report.problems[0], len(report.problems) - 1)
    return found


def try_item(template: Template, values: Values, report: Report) -> Item | None:
    """The same; what is wrong goes to the report, and then there is none."""
    found = _try_posed(template, values, report)
    return None if found is None else found.item


def _try_posed(template: Template, values: Values, report: Report) -> Posed | None:
    told = len(report.problems)
    with speaking(template.language):
        try:
            making = Making(template.id, template.language, template.at, template.draws, report)
            making.item(template.values, values, template.scenario)
        except PvsimError as error:
            if len(report.problems) == told:
                report.take_over(("exercise", template.at), error)
            return None
    return making.posed
