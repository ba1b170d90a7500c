"""Ideas to revisit: what a learner's wrong answers in the lessons showed, as the lessons name it."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from pvsim.course.lesson.lesson import Choice, ChoiceQuestion, Course, Lesson, Mistake, Question, Step
from pvsim.course.play.answers import Verdict
from pvsim.course.play.player import Mark, Progress, verdicts

__all__ = ["Idea", "ideas_met", "ideas_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Idea:
    """A misconception that an answer showed.

    Parameters
    ----------
    key : str
        The same in every language: the question it was met at, and its place there, "diode/half/predict#1".
    lesson : str
        Slug.
    text : str
        In the course's language.
    id : str
        Its name, where the lesson gives one: by it exercises ask for the same idea, of other lessons too.
    """

    key: str
    lesson: str
    text: str
    id: str = ""


def ideas_of(question: Question) -> tuple[str, ...]:
    """The ideas that a question knows, in their order; empty for a right choice."""
    return tuple(one.idea for one in _entries(question))


def _entries(question: Question) -> tuple[Choice | Mistake, ...]:
    return question.choices if isinstance(question, ChoiceQuestion) else question.mistakes


def _idea(lesson: Lesson, step: Step, name: str, question: Question, text: str) -> Idea:
    at = ideas_of(question).index(text)
    key = f"{lesson.slug}/{step.id}/{name}#{at}"
    return Idea(key=key, lesson=lesson.slug, text=text, id=_entries(question)[at].idea_id)


def ideas_met(
    course: Course, progresses: Mapping[str, Progress], learned: Collection[str] = ()
) -> tuple[Idea, ...]:
    """The ideas that predictions and last observations show, in the order of the course.

    Parameters
    ----------
    course : Course
    progresses : mapping of str to Progress
        By slug.
    learned : collection of str
        Keys of those that have been answered rightly since.
    """
    found = [
        idea
        for lesson in course.lessons
        if lesson.slug in progresses
        for step, mark in zip(lesson.steps, progresses[lesson.slug].marks, strict=True)
        for idea in _in_step(lesson, step, mark)
    ]
    return tuple(one for one in found if one.key not in learned)


def _in_step(lesson: Lesson, step: Step, mark: Mark) -> list[Idea]:
    first, second = verdicts(step, mark)
    asked: list[tuple[str, Question | None, Verdict | None]] = [
        ("predict", step.predict, first), ("observe", step.observe, second),
    ]  # fmt: skip
    return [
        _idea(lesson, step, name, question, verdict.idea)
        for name, question, verdict in asked
        if question is not None
        and verdict is not None
        and not verdict.right
        and verdict.idea
        and verdict.idea in ideas_of(question)  # a slip that any number can have is none
    ]
