"""From a question of a lesson or an exercise, and the solver, to an item with its key."""

from __future__ import annotations

from math import ceil, isfinite, log10

from pvsim.course.lesson.lesson import ChoiceQuestion, Lesson, NumberQuestion, Question, Step
from pvsim.course.number.evaluation import Readings, value_of
from pvsim.course.number.solved_scenario import solved
from pvsim.course.play.answers import is_right
from pvsim.errors import LessonError
from pvsim.exercise.item import MOST_DECIMALS, ChoiceItem, Item, ItemChoice, Misconception, NumberItem
from pvsim.exercise.wording import filled
from pvsim.words import speaking

__all__ = ["decimals_within", "item_of", "lesson_items"]


def lesson_items(lesson: Lesson) -> tuple[Item, ...]:
    """What a lesson asks, as items: a prediction in each step, and what is observed after its change.

    Their ids are "lesson/step/predict" and "lesson/step/observe". They are the same for everybody.
    """
    with speaking(lesson.language):
        return tuple(item for step in lesson.steps for item in _step_items(lesson, step))


def _step_items(lesson: Lesson, step: Step) -> list[Item]:
    before, after = solved(step.start), solved(step.finish)
    at_first, then = Readings(before, before), Readings(after, before)
    name, language = f"{lesson.slug}/{step.id}", lesson.language
    asked = "\n\n".join(filled(part.text, at_first, language) for part in (step.lead, step.ask) if part)
    found = [item_of(step.predict, then, at_first, f"{name}/predict", asked, language)]
    if step.observe is not None:
        parts = [filled(step.act.text, at_first, language), filled(step.notice.text, then, language)]
        asked = "\n\n".join(part for part in parts if part)
        found.append(item_of(step.observe, then, then, f"{name}/observe", asked, language))
    return found


def item_of(
    question: Question,
    readings: Readings,
    shown: Readings,
    name: str,
    stem: str,
    language: str,
    *,
    points: float = 1.0,
    solution: str = "",
) -> Item:
    """A question with its key, computed from the solved scenarios.

    Parameters
    ----------
    question : Question
    readings : Readings
        After the change and before it: what answers are held against.
    shown : Readings
        What the texts of choices are read from: what whoever answers may know.
    name : str
        The item's id.
    stem : str
        Markdown, filled in.
    language : str
        Of all texts.

    Raises
    ------
    LessonError
        If there is no finite answer, or not exactly one choice is right.
    """
    if isinstance(question, ChoiceQuestion):
        return _choice_item(question, readings, shown, name, stem, language, points, solution)
    return _number_item(question, readings, name, stem, language, points, solution)


def _number_item(
    question: NumberQuestion,
    readings: Readings,
    name: str,
    stem: str,
    language: str,
    points: float,
    solution: str,
) -> NumberItem:
    size = question.unit.size
    value = value_of(question.answer, readings)
    if not isfinite(value):
        raise LessonError(
            f"the answer of '{name}' comes to no number",
            expected="a finite answer",
            mend="Check what its expression divides by, and whether its place carries what is asked for",
        )
    tolerance = (question.tolerance + question.relative_tolerance * abs(value)) / size
    wrong = [(one, value_of(one.value, readings) / size) for one in question.mistakes]
    return NumberItem(
        id=name,
        language=language,
        stem=stem,
        points=points,
        value=value / size,
        tolerance=tolerance,
        unit=question.unit,
        decimals=decimals_within(tolerance),
        misconceptions=tuple(
            Misconception(
                value=far,
                tolerance=(question.tolerance + question.relative_tolerance * abs(far) * size) / size,
                idea=one.idea,
                feedback=filled(one.feedback, readings, language),
            )
            for one, far in wrong
            if isfinite(far) and abs(far - value / size) > tolerance  # else it is no mistake in this case
        ),
        solution=solution,
    )


def _choice_item(
    question: ChoiceQuestion,
    readings: Readings,
    shown: Readings,
    name: str,
    stem: str,
    language: str,
    points: float,
    solution: str,
) -> ChoiceItem:
    right = [is_right(one, readings) for one in question.choices]
    if right.count(True) != 1 or not question.choices[right.index(True)].right:
        raise LessonError(
            f"the solver finds {right.count(True)} choices of '{name}' right, or another than its author",
            expected="the one that is marked right, and no other",
            mend="Check the conditions of its choices, and what is drawn",
        )
    return ChoiceItem(
        id=name,
        language=language,
        stem=stem,
        points=points,
        choices=tuple(
            ItemChoice(
                text=filled(one.text, shown, language),
                share=float(so),
                idea=one.idea,
                feedback=filled(one.feedback, readings, language),
            )
            for one, so in zip(question.choices, right, strict=True)
        ),
        solution=solution,
    )


def decimals_within(tolerance: float) -> int:
    """Decimals that show a number to a tenth of its tolerance, so that writing it costs nobody a point."""
    return 0 if tolerance <= 0 else min(MOST_DECIMALS, max(0, ceil(1 - log10(tolerance) - 1e-9)))
