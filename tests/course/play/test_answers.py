"""Answers are read as people type them and judged by the solver."""

from __future__ import annotations

import re

import pytest

from pvsim.course.lesson.lesson import ChoiceQuestion, NumberQuestion
from pvsim.course.number.evaluation import Readings, value_of
from pvsim.course.number.solved_scenario import solved
from pvsim.course.number.units import UNITS
from pvsim.course.play.answers import (
    ChoiceAnswer,
    NumberAnswer,
    judge,
    read_answer,
    read_number,
    right_answer,
)
from pvsim.errors import LessonError
from tests.course.samples import lesson


@pytest.fixture(scope="module")
def number() -> NumberQuestion:
    question = lesson().steps[0].predict
    assert isinstance(question, NumberQuestion)
    return question


@pytest.fixture(scope="module")
def choice() -> ChoiceQuestion:
    question = lesson().steps[0].observe
    assert isinstance(question, ChoiceQuestion)
    return question


@pytest.fixture(scope="module")
def readings() -> Readings:
    step = lesson().steps[0]
    return Readings(solved(step.finish), solved(step.start))


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("120", 120.0),
        ("120,5", 120.5),
        ("120.5 W", 120.5),
        (" 1 W", 1.0),
        ("\u22124.2\u202fW", -4.2),
        ("0.12 kW", 120.0),
        ("500mW", 0.5),
        (",5", 0.5),
        (12, 12.0),
        ("120 Watt", 120.0),
        ("5,7 watts", 5.7),
        ("120 W.", 120.0),
        ("- 4,2", -4.2),
        ("12 000", 12000.0),
        ("1 234,5 W", 1234.5),
    ],
)
def test_numbers_are_read_with_either_mark_and_with_units(
    typed: object, value: float, number: NumberQuestion
) -> None:
    assert read_answer(number, typed) == NumberAnswer(pytest.approx(value))


@pytest.mark.parametrize(
    "typed",
    ["", "a lot", "12 V", "1e999", "nan", "1,000", "12 W W", "5" * 60, None, "1.2.3", "12 00", "57 Grad"],
)
def test_what_is_no_number_in_that_unit_is_refused(typed: object, number: NumberQuestion) -> None:
    with pytest.raises(LessonError) as refused:
        read_answer(number, typed)
    assert refused.value.mend


@pytest.mark.parametrize("typed", ["1/3", "1,234.5", "1.234,5"])
def test_a_number_written_in_another_way_is_not_taken_for_one_with_a_strange_unit(typed: str) -> None:
    with pytest.raises(LessonError, match=re.escape(f"“{typed}” is no number")):
        read_number(typed, UNITS["V"])


def test_a_temperature_is_taken_in_degrees_alone() -> None:
    assert read_number("57 Grad", UNITS["degC"]) == read_number("57 °C", UNITS["degC"]) == 57.0
    with pytest.raises(LessonError):
        read_number("57 K", UNITS["degC"])


@pytest.mark.parametrize("given", [-1, 2, 99, "0", None, True, 0.0])
def test_what_is_no_choice_is_refused(given: object, choice: ChoiceQuestion) -> None:
    with pytest.raises(LessonError):
        read_answer(choice, given)


def test_the_tolerance_includes_its_edge(number: NumberQuestion, readings: Readings) -> None:
    truth = value_of(number.answer, readings)
    assert judge(number, NumberAnswer(truth + 10.0), readings).right
    assert not judge(number, NumberAnswer(truth + 10.001), readings).right
    assert judge(number, NumberAnswer(truth - 10.0), readings).right


def test_a_wrong_number_with_a_known_idea_gets_its_own_feedback(
    number: NumberQuestion, readings: Readings
) -> None:
    share = value_of(number.mistakes[0].value, readings)
    verdict = judge(number, NumberAnswer(share), readings)
    assert not verdict.right
    assert verdict.idea == "a sixtieth of the area"
    assert "{{ now[1/1].power_W" in verdict.feedback


def test_a_wrong_number_without_a_known_idea_gets_none(number: NumberQuestion, readings: Readings) -> None:
    verdict = judge(number, NumberAnswer(9000.0), readings)
    assert (verdict.right, verdict.idea) == (False, "")


def test_a_choice_is_judged_by_the_solver_not_by_its_mark(choice: ChoiceQuestion, readings: Readings) -> None:
    undone = Readings(readings.before, readings.before)
    assert judge(choice, ChoiceAnswer(0), readings).right
    assert not judge(choice, ChoiceAnswer(0), undone).right
    assert judge(choice, ChoiceAnswer(1), undone).right
    assert right_answer(choice, readings) == ChoiceAnswer(0)
    assert right_answer(choice, undone) == ChoiceAnswer(1)
