"""What a learner answered, how it is read, and whether it is right."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import isfinite

from pvsim.course.lesson.lesson import Choice, ChoiceQuestion, NumberQuestion, Question
from pvsim.course.number.evaluation import Readings, holds, value_of
from pvsim.course.number.units import PLAIN, WARMTH, Unit, unit_meant
from pvsim.errors import LessonError
from pvsim.numbers import MINUS
from pvsim.words import _, decimal_mark

LONGEST_ANSWER = 40  # characters

_DIGITS = r"\d{1,3}(?: \d{3})+|\d+"  # thousands may stand apart
_NUMBER = re.compile(rf"^([+-]? ?(?:(?:{_DIGITS})(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d+)?)(?![\d.,/]) ?(.*)$")
_DOUBTFUL = {  # thousands to some, decimals to others; by the decimal mark that is usual here
    ".": re.compile(r"[+-]?[1-9]\d{0,2},\d{3}"),
    ",": re.compile(r"[+-]?[1-9]\d{0,2}\.\d{3}"),
}
_SPACES = re.compile(r"[\s\u00a0\u202f\u2009]+")


@dataclass(frozen=True, slots=True)
class NumberAnswer:
    """A number in the unit of its question."""

    number: float


@dataclass(frozen=True, slots=True)
class ChoiceAnswer:
    """The chosen answer, counted from 0."""

    choice: int


Answer = NumberAnswer | ChoiceAnswer


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """Whether an answer is right, and what to tell the learner.

    Parameters
    ----------
    right : bool
    truth : float or None
        The right number in the question's unit; None for a choice.
    idea, feedback : str
        The misconception met, and the words for it; Markdown, empty when there are none.
    """

    right: bool
    truth: float | None = None
    idea: str = ""
    feedback: str = ""


def read_answer(question: Question, given: object) -> Answer:
    """Turn what came from the page into an answer.

    Parameters
    ----------
    question : Question
        What was asked.
    given : str or int
        The typed number, decimal point or comma, with or without its unit; or the place of
        the choice counted from 0.

    Raises
    ------
    LessonError
        If it answers something else.
    """
    if isinstance(question, ChoiceQuestion):
        if isinstance(given, bool) or not isinstance(given, int) or not 0 <= given < len(question.choices):
            raise LessonError(
                _("no answer is chosen"),
                expected=_("one of the {count} answers").format(count=len(question.choices)),
                mend=_("Choose the one you would bet on"),
            )
        return ChoiceAnswer(given)
    return NumberAnswer(read_number(str(given), question.unit))


@dataclass(frozen=True, slots=True)
class Typed:
    """A number, and the unit behind it as it was typed; empty where there is none."""

    number: float
    unit: str


def read_number(given: str, unit: Unit) -> float:
    """Turn a typed number, with decimal point or comma, with or without its unit, into one in `unit`.

    Raises
    ------
    LessonError
        If it is no number, or one that can be read two ways, or in a unit that was not asked for.
    """
    typed = read_typed(given, unit)
    number = in_unit(typed, unit)
    if number is None:
        raise LessonError(
            _("“{text}” is not the unit asked for").format(text=typed.unit[:20]),
            expected=_expected(unit),
            mend=_("Type the number alone"),
        )
    return number


def read_typed(given: str, unit: Unit) -> Typed:
    """Take a typed number apart from the unit behind it.

    Parameters
    ----------
    given : str
        With decimal point or comma.
    unit : Unit
        That is asked for; for messages.

    Raises
    ------
    LessonError
        If it is no number, or one that can be read two ways.
    """
    text = _SPACES.sub(" ", given[: LONGEST_ANSWER + 1]).strip().replace(MINUS, "-")
    match = _NUMBER.match(text) if len(text) <= LONGEST_ANSWER else None
    typed = match[1].replace(" ", "") if match else ""
    number = float(typed.replace(",", ".") or "nan")
    if match is None or not isfinite(number):
        raise LessonError(
            _("“{text}” is no number").format(text=text[:20]) if text else _("the answer is empty"),
            expected=_expected(unit),
            mend=_("Type digits, with a decimal point or comma"),
        )
    here = decimal_mark()
    if _DOUBTFUL[here].fullmatch(typed):
        whole, _mark, fraction = typed.replace(",", ".").partition(".")
        raise LessonError(
            _("“{text}” can be read two ways").format(text=typed),
            expected=_expected(unit),
            mend=_("Write {whole} or {decimal}").format(
                whole=whole + fraction, decimal=f"{whole}{here}{fraction}0"
            ),
        )
    return Typed(number, match[2].strip())


def _expected(unit: Unit) -> str:
    return _("a number in {unit}").format(unit=_(unit.symbol)) if unit.symbol else _("a number in digits")


def judge(question: Question, answer: Answer, readings: Readings) -> Verdict:
    """Hold an answer against the solver.

    Parameters
    ----------
    question : Question
        What was asked.
    answer : Answer
        What was answered; of the kind that the question asks for.
    readings : Readings
        The scenarios now and before, solved.
    """
    if isinstance(question, ChoiceQuestion) and isinstance(answer, ChoiceAnswer):
        chosen = question.choices[answer.choice]
        return Verdict(right=is_right(chosen, readings), idea=chosen.idea, feedback=chosen.feedback)
    if isinstance(question, NumberQuestion) and isinstance(answer, NumberAnswer):
        return _judge_number(question, answer.number, readings)
    raise TypeError(f"{type(answer).__name__} does not answer a {type(question).__name__}")


def is_right(choice: Choice, readings: Readings) -> bool:
    """Whether a choice is right: by the solver if it can be asked, else by the author."""
    return choice.right if choice.when is None else holds(choice.when, readings)


def right_answer(question: Question, readings: Readings) -> Answer:
    """The answer that `judge` finds right.

    Raises
    ------
    LessonError
        If no choice is right in this state.
    """
    if isinstance(question, NumberQuestion):
        return NumberAnswer(value_of(question.answer, readings) / question.unit.size)
    for number, choice in enumerate(question.choices):
        if is_right(choice, readings):
            return ChoiceAnswer(number)
    raise LessonError(
        "no choice is right",
        expected="exactly one choice whose condition holds",
        mend="Look at the conditions of the choices",
    )


def _judge_number(question: NumberQuestion, number: float, readings: Readings) -> Verdict:
    size = question.unit.size
    truth = value_of(question.answer, readings)
    if _near(number * size, truth, question):
        return Verdict(right=True, truth=truth / size)
    if question.unit.name == "%" and abs(number) < 1 and _near(number, truth, question):
        return Verdict(
            right=False,
            truth=truth / size,
            idea=_("a share of one, where per cent were asked for"),
            feedback=_("Per cent are hundredths: the number is right when it is a hundred times as large."),
        )
    for mistake in question.mistakes:
        if _near(number * size, value_of(mistake.value, readings), question):
            return Verdict(right=False, truth=truth / size, idea=mistake.idea, feedback=mistake.feedback)
    return Verdict(right=False, truth=truth / size)


def _near(value: float, target: float, question: NumberQuestion) -> bool:
    allowed = question.tolerance + question.relative_tolerance * abs(target)
    return abs(value - target) <= allowed * (1 + 1e-12)  # so that the edge itself counts


def in_unit(typed: Typed, unit: Unit) -> float | None:
    """The number in the question's unit; another unit of the same kind is converted, of another None."""
    if not typed.unit:
        return typed.number
    other = unit_meant(typed.unit)
    if other is None or other.dimension != unit.dimension:
        return None
    if other != unit and unit.dimension in (PLAIN, WARMTH):
        return None
    return typed.number * other.size / unit.size
