"""What came of a lecture's questions: counts of both rounds, what was right by the solver, the gain."""

from __future__ import annotations

import csv
from dataclasses import replace
from math import isnan

import pytest

from pvsim.course.folder.course_reader import own_course
from pvsim.course.lecture.class_answers import LETTERS, Round
from pvsim.course.lecture.lecture import Part, compose
from pvsim.course.lecture.lecture_file import read_lecture, write_lecture
from pvsim.course.lecture.lecture_record import moment_of, podium_at
from pvsim.course.lecture.lecture_state import Podium, ask_again, forward, take
from pvsim.course.lecture.results import COLUMNS, Result, results_csv, results_of
from pvsim.course.lesson.lesson import ChoiceQuestion, NumberQuestion
from pvsim.course.number.evaluation import Readings, value_of
from pvsim.course.number.solved_scenario import solved
from pvsim.course.play.answers import ChoiceAnswer, right_answer

COURSE = own_course()
FIVE = next(one for one in COURSE.lessons if one.slug == "five-levels")
NUMBER, CHOICE = FIVE.steps[0], FIVE.steps[1]
assert isinstance(NUMBER.predict, NumberQuestion)
assert isinstance(CHOICE.predict, ChoiceQuestion)


def asked(step_id: str) -> Podium:
    part = Part(lesson="five-levels", steps=(step_id,), minutes=10.0)
    return forward(Podium(lecture=compose("Tuesday", [part], COURSE)))


def right_place() -> int:
    answer = right_answer(CHOICE.predict, Readings(solved(CHOICE.finish), solved(CHOICE.start)))
    assert isinstance(answer, ChoiceAnswer)
    return answer.choice


def of_choices(count: int, others: int) -> tuple[float, ...]:
    """So many for the right choice, and so many for another."""
    found = [0.0] * len(CHOICE.predict.choices)  # type: ignore[union-attr]
    found[right_place()] = float(count)
    found[(right_place() + 1) % len(found)] = float(others)
    return tuple(found)


def in_two_rounds() -> Podium:
    podium = take(asked(CHOICE.id), Round(phones=of_choices(2, 5), hands=of_choices(1, 2)))
    return take(ask_again(podium, COURSE), Round(phones=of_choices(9, 3)))


def test_a_choice_has_the_counts_of_both_rounds_and_what_it_gained() -> None:
    [found] = results_of(in_two_rounds(), COURSE)
    assert (found.part, found.step) == (1, CHOICE.title)
    assert found.letter == LETTERS[right_place()]
    assert found.right
    assert "<" not in found.question + found.right
    assert [(one.answered, one.right) for one in found.rounds] == [(10, 3), (12, 9)]
    assert dict(found.rounds[0].answers)[found.letter] == 3
    assert found.shares == (0.3, 0.75)
    assert found.gain == pytest.approx(0.45)
    # R. R. Hake, Am. J. Phys. 66 (1998) 64, from memory: what was gained of what there was to gain
    assert found.normalised_gain == pytest.approx(0.45 / 0.7)


def test_a_number_is_right_within_its_tolerance() -> None:
    question = NUMBER.predict
    assert isinstance(question, NumberQuestion)
    truth = value_of(question.answer, Readings(solved(NUMBER.finish), solved(NUMBER.start)))
    truth /= question.unit.size
    podium = take(asked(NUMBER.id), Round(phones=(truth, truth, 3.0 * truth + 1.0)))
    [found] = results_of(podium, COURSE)
    assert found.letter == ""
    assert found.truth == pytest.approx(truth)
    assert [(one.answered, one.right) for one in found.rounds] == [(3, 2)]
    assert found.gain is None, "it was asked once"


def test_what_nobody_answered_is_not_in_it() -> None:
    assert results_of(asked(CHOICE.id), COURSE) == ()
    podium = ask_again(take(asked(CHOICE.id), Round(hands=of_choices(1, 1))), COURSE)
    [found] = results_of(podium, COURSE)
    assert isnan(found.shares[1])
    assert found.gain is None
    assert found.normalised_gain is None


def test_where_all_were_right_at_first_there_was_nothing_to_gain() -> None:
    podium = take(asked(CHOICE.id), Round(hands=of_choices(4, 0)))
    podium = take(ask_again(podium, COURSE), Round(hands=of_choices(4, 0)))
    [found] = results_of(podium, COURSE)
    assert (found.gain, found.normalised_gain) == (0.0, None)


def test_the_record_of_a_lecture_has_the_same_results() -> None:
    podium = in_two_rounds()
    played = (moment_of(podium, CHOICE.start, 10.0),)
    lecture = compose("Tuesday", podium.lecture.parts, COURSE)
    text = write_lecture(replace(lecture, played=played), COURSE)
    again = read_lecture(text, "tuesday.toml", COURSE)
    assert results_of(podium_at(again, COURSE, 1), COURSE) == results_of(podium, COURSE)


def test_the_table_is_read_back_from_its_csv() -> None:
    results = results_of(in_two_rounds(), COURSE)
    text = results_csv("Tuesday", results)
    assert "# Lecture: Tuesday" in text
    assert "invented" not in text
    lines = [line for line in text.splitlines() if not line.startswith("#")]
    [row] = csv.DictReader(lines)
    assert tuple(row) == COLUMNS
    assert (row["answered_first"], row["right_first"]) == ("10", "3")
    assert (row["answered_after"], row["right_after"]) == ("12", "9")
    assert float(row["gain_points"]) == 45.0
    assert float(row["normalised_gain"]) == pytest.approx(0.643)
    counts = dict(one.split(":") for one in row["answers_after"].split())
    assert counts[results[0].letter] == "9"
    assert sum(map(int, counts.values())) == 12


def test_a_round_that_was_not_asked_is_empty_and_not_zero() -> None:
    [found] = results_of(take(asked(CHOICE.id), Round(hands=of_choices(1, 1))), COURSE)
    assert isinstance(found, Result)
    lines = [line for line in results_csv("T", [found]).splitlines() if not line.startswith("#")]
    [row] = csv.DictReader(lines)
    assert [row[name] for name in ("answered_after", "right_after", "gain_points", "answers_after")] == [
        ""
    ] * 4
