"""Numbers that a sheet must not print, since they answer one of its questions."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import isfinite

from pvsim.course.lesson.lesson import NumberQuestion, Question, Step
from pvsim.course.number.evaluation import Number, Readings, dimension_of, parse_number, value_of
from pvsim.course.number.solved_scenario import solved
from pvsim.course.number.units import PLAIN, Dimension
from pvsim.course.text.typed_numbers import COMPUTED
from pvsim.course.text.warrant import is_warrant
from pvsim.errors import PvsimError

__all__ = ["Secret", "hiding", "secrets_of"]

_NEAR = 0.01  # of an answer: what is farther off is another number, even where it would be marked right


@dataclass(frozen=True, slots=True, kw_only=True)
class Secret:
    """The answer of a question.

    Parameters
    ----------
    question : str
        "half-cells/predict".
    value, tolerance : float
        In SI units.
    dimension : Dimension
    """

    question: str
    value: float
    tolerance: float
    dimension: Dimension


def secrets_of(step: Step) -> tuple[Secret, ...]:
    """What answers the questions of a step, without what they tell themselves."""
    before, after = solved(step.start), solved(step.finish)
    at_first, then = Readings(before, before), Readings(after, before)
    lead = (step.lead.text, step.ask.text)
    found = [_secret(step.predict, f"{step.id}/predict", then, lead, at_first)]
    if step.observe is not None:
        found.append(_secret(step.observe, f"{step.id}/observe", then, (step.notice.text,), then))
    return tuple(one for one in found if one is not None)


def hiding(secrets: Sequence[Secret], question: str) -> Callable[[Number, Readings], bool]:
    """What is left blank in the text of a question: the answers of all others."""

    def hidden(number: Number, readings: Readings) -> bool:
        return any(one.question != question and _is(number, readings, one) for one in secrets)

    return hidden


def _secret(
    question: Question, name: str, then: Readings, texts: Sequence[str], shown: Readings
) -> Secret | None:
    if not isinstance(question, NumberQuestion):
        return None
    value = value_of(question.answer, then)
    found = Secret(
        question=name,
        value=value,
        tolerance=question.tolerance + question.relative_tolerance * abs(value),
        dimension=dimension_of(question.answer) or PLAIN,
    )
    told = any(_is(number, shown, found) for text in texts for number in _numbers(text))
    return None if told or not isfinite(value) else found


def _numbers(text: str) -> list[Number]:
    insides = [match[1] for match in COMPUTED.finditer(text)]
    return [parse_number(one) for one in insides if not is_warrant(one)]


def _is(number: Number, readings: Readings, secret: Secret) -> bool:
    """Whether a number is the answer, of whichever sign it is written with."""
    if (dimension_of(number.expression) or PLAIN) != secret.dimension:
        return False
    try:
        value = value_of(number.expression, readings)
    except PvsimError:  # a place that the array does not have: no number stands there
        return False
    near = min(secret.tolerance, _NEAR * abs(secret.value))
    return abs(abs(value) - abs(secret.value)) <= near + 1e-9
