"""A question of a step and what became of it, as plain values: the answer given, the right one, a verdict."""

from __future__ import annotations

from typing import Any

from pvsim.app.words import _
from pvsim.course.lesson.audience import Audience
from pvsim.course.lesson.lesson import ChoiceQuestion, NumberQuestion, Question
from pvsim.course.lesson.render import render, render_line
from pvsim.course.number.evaluation import Readings
from pvsim.course.play.answers import Answer, ChoiceAnswer, NumberAnswer, Verdict, right_answer
from pvsim.course.play.whereabouts import spots
from pvsim.numbers import MINUS, format_number, short_number

__all__ = ["Page", "question_of", "reckoning_of", "shown_answer", "verdict_on"]

Page = dict[str, Any]


def question_of(
    question: Question, answer: Answer | None, readings: Readings, audience: Audience
) -> Page:
    if isinstance(question, ChoiceQuestion):
        chosen = answer.choice if isinstance(answer, ChoiceAnswer) else None
        texts = [render_line(choice.text, readings, audience) for choice in question.choices]
        return {"kind": "choice", "choices": texts, "chosen": chosen}
    given = _as_typed(answer.number) if isinstance(answer, NumberAnswer) else ""
    return {"kind": "number", "unit": _(question.unit.symbol), "given": given}


def _as_typed(number: float) -> str:
    """A number as people type it: no zeros at its end, a true minus sign."""
    return short_number(number, minus=MINUS)


def verdict_on(
    question: Question, verdict: Verdict | None, readings: Readings, audience: Audience
) -> Page | None:
    if verdict is None:
        return None
    feedback = verdict.feedback
    if not feedback and not verdict.right:
        feedback = _("Read it once more, and mind sign and unit.")
    return {
        "right": verdict.right,
        "mark": _("Right") if verdict.right else _("Not yet"),
        "idea": "" if verdict.right else verdict.idea,
        "html": render(feedback, readings, audience) if feedback else "",
    }


def shown_answer(question: Question, readings: Readings, audience: Audience) -> Page:
    """The right answer, for who asks to be shown it, and where it is read."""
    where = [one.words for one in spots(question, readings)]
    return {
        "label": _("The answer"),
        "html": _right_in_words(question, readings, audience),
        "where_label": _("Read it here"),
        "where": where,
    }


def _right_in_words(question: Question, readings: Readings, audience: Audience) -> str:
    """The right answer as it is shown; safe HTML."""
    right = right_answer(question, readings)
    if isinstance(question, ChoiceQuestion) and isinstance(right, ChoiceAnswer):
        return render_line(question.choices[right.choice].text, readings, audience)
    assert isinstance(question, NumberQuestion)
    assert isinstance(right, NumberAnswer)
    return _found(question, right.number)


def _found(question: NumberQuestion, number: float) -> str:
    unit = _(question.unit.symbol)
    return format_number(number, unit, digits=3) if unit else _as_typed(float(f"{number:.3g}"))


def reckoning_of(
    question: Question,
    answer: Answer | None,
    verdict: Verdict | None,
    readings: Readings,
    audience: Audience,
) -> Page | None:
    """The prediction held against what the solver found."""
    if verdict is None or answer is None:
        return None
    said, found = "", ""
    if isinstance(question, NumberQuestion) and isinstance(answer, NumberAnswer):
        unit = _(question.unit.symbol)
        said = f"{_as_typed(answer.number)}\u202f{unit}" if unit else _as_typed(answer.number)
        found = _found(question, verdict.truth or 0.0)
    elif isinstance(question, ChoiceQuestion) and isinstance(answer, ChoiceAnswer):
        said = render_line(question.choices[answer.choice].text, readings, audience)
        found = "" if verdict.right else _right_in_words(question, readings, audience)
    html = render(verdict.feedback, readings, audience) if verdict.feedback else ""
    if not html:
        html = _nearness(question, answer, verdict)
    return {
        "right": verdict.right,
        "mark": _("You foresaw it") if verdict.right else _("It came out differently"),
        "said_label": _("You wrote"),
        "said": said,
        "found_label": _("Solver"),
        "found": found,
        "idea": "" if verdict.right else verdict.idea,
        "html": html,
    }


def _nearness(question: Question, answer: Answer, verdict: Verdict) -> str:
    """How a number missed, in words, when no known idea explains it."""
    if verdict.right or not isinstance(answer, NumberAnswer) or not verdict.truth:
        return ""
    share = answer.number / verdict.truth
    if share < 0:
        text = _("The sign is the other way round.")
    elif share < 0.5:
        text = _("You expected much less than there is.")
    elif share < 1:
        text = _("You expected somewhat less than there is.")
    elif share < 2:
        text = _("You expected somewhat more than there is.")
    else:
        text = _("You expected much more than there is.")
    return f"<p>{text}</p>"
