"""A question where it is asked: the array before and after the change, and the part it is about."""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.array.place import WHOLE_ARRAY, Place
from pvsim.array.scenario import Scenario
from pvsim.course.lesson.lesson import ChoiceQuestion, Question
from pvsim.course.number.expression import Path, paths
from pvsim.course.number.quantities import locate
from pvsim.course.number.solved_scenario import Situation
from pvsim.exercise.item import Item
from pvsim.prompt import summary

__all__ = ["Posed", "asked_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Posed:
    """An item with its array.

    Parameters
    ----------
    item : Item
    start, finish : Scenario
        What is given, and what the change makes of it; the same where nothing changes.
    focus : Place
        The part that is asked about.
    """

    item: Item
    start: Scenario
    finish: Scenario
    focus: Place = WHOLE_ARRAY

    __repr__ = summary


def asked_of(question: Question, situation: Situation) -> Place:
    """The first place that an answer is read at; the whole array where none is named."""
    found: list[Path] = []
    if isinstance(question, ChoiceQuestion):
        for choice in question.choices:
            found += paths(choice.when) if choice.when is not None else ()
    else:
        found += paths(question.answer)
    return locate(found[0].place, situation) if found else WHOLE_ARRAY
