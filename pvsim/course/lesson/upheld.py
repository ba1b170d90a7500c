"""Holds the comparisons of a lesson to the solver, where the lesson says what has to hold."""

from __future__ import annotations

from collections.abc import Iterator

from pvsim.course.lesson.lesson import ChoiceQuestion, Lesson, Step
from pvsim.course.number.evaluation import Readings, holds
from pvsim.course.number.solved_scenario import solved
from pvsim.course.problem import Problem
from pvsim.course.text.warrant import parse_warrant, warrants_in


def fallen_claims(lesson: Lesson) -> list[Problem]:
    """The warrants of a lesson's opening and closing that do not hold on its first and its last array."""
    first, last = solved(lesson.steps[0].start), solved(lesson.steps[-1].finish)
    found = _fallen(lesson, lesson.opening.text, lesson.opening.line, Readings(first, first))
    return [*found, *_fallen(lesson, lesson.closing.text, lesson.closing.line, Readings(last, last))]


def fallen_claims_of(lesson: Lesson, step: Step, readings: Readings) -> list[Problem]:
    """The warrants of a step that do not hold once its solution is done."""
    return [one for text, line in _texts(step) for one in _fallen(lesson, text, line, readings)]


def _texts(step: Step) -> Iterator[tuple[str, int]]:
    """Every text of a step with the line it begins on, as far as that is known."""
    for section in (step.lead, step.ask, step.act, step.notice, step.explain, step.notes):
        yield section.text, section.line
    for question in (step.predict, step.observe):
        if isinstance(question, ChoiceQuestion):
            yield from ((text, step.line) for one in question.choices for text in (one.text, one.feedback))
        elif question is not None:
            yield from ((one.feedback, step.line) for one in question.mistakes)


def _fallen(lesson: Lesson, text: str, line: int, readings: Readings) -> Iterator[Problem]:
    for offset, inside in warrants_in(text):
        condition = parse_warrant(inside).condition
        if condition is not None and not holds(condition, readings):
            yield Problem(
                file=lesson.file,
                line=line + offset,
                wrong=f"'{condition.text}' does not hold",
                expected="a comparison that the solver bears out",
                mend="Correct what the sentence says, or the condition",
            )
