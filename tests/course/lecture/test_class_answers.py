"""The answers of a class: read, counted, drawn as bars, invented for a rehearsal."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvsim.course.lecture.class_answers import (
    MOST_BARS,
    Round,
    class_answer,
    count_bars,
    read_hands,
    right_count,
    size,
    tally,
)
from pvsim.course.lesson.lesson import ChoiceQuestion, NumberQuestion
from pvsim.course.number.evaluation import Readings
from pvsim.course.number.solved_scenario import solved
from pvsim.course.play.answers import ChoiceAnswer, NumberAnswer
from pvsim.errors import LessonError
from tests.course.samples import lesson

SHADE, ELSEWHERE = lesson().steps
NUMBER, CHOICE = SHADE.predict, ELSEWHERE.predict
assert isinstance(NUMBER, NumberQuestion)
assert isinstance(CHOICE, ChoiceQuestion)


@pytest.mark.parametrize(
    ("text", "counts"),
    [
        ("12 7", (12, 7)),
        ("12, 7", (12, 7)),
        ("12/7", (12, 7)),
        ("B7 a12", (12, 7)),
        ("b:7", (0, 7)),
        ("5", (5, 0)),
        ("", ()),
    ],
)
def test_hands_for_choices_are_typed_in_the_order_of_the_letters_or_with_them(text, counts) -> None:
    assert read_hands(CHOICE, text) == counts


@pytest.mark.parametrize("text", ["12 7 3", "x", "C4", "A1 A2", "-3", "1000"])
def test_hands_that_fit_no_answer_are_refused_with_an_example(text: str) -> None:
    with pytest.raises(LessonError, match="such as"):
        read_hands(CHOICE, text)


def test_numbers_called_out_are_typed_one_by_one_or_with_their_count() -> None:
    assert read_hands(NUMBER, "4 5,5 6x3 \u22121.5") == (4, 5.5, 6, 6, 6, -1.5)


@pytest.mark.parametrize("text", ["a lot", "5x", "5x2x3", "5xx2", "1" + "0" * 400])
def test_words_that_are_no_numbers_are_refused(text: str) -> None:
    with pytest.raises(LessonError):
        read_hands(NUMBER, text)


def test_more_numbers_than_a_hall_holds_are_refused() -> None:
    with pytest.raises(LessonError, match="more than"):
        read_hands(NUMBER, "5x999 6x999 7x999")


def test_hands_and_phones_count_together() -> None:
    answers = Round(hands=(3.0, 1.0), phones=(0.0, 5.0))
    assert tally(CHOICE, answers) == (3, 6)
    assert size(CHOICE, answers) == 9
    assert class_answer(CHOICE, answers) == ChoiceAnswer(1)


def test_the_median_of_its_numbers_stands_for_a_class() -> None:
    assert class_answer(NUMBER, Round(hands=(1.0, 2.0), phones=(50.0,))) == NumberAnswer(2.0)
    assert class_answer(NUMBER, Round()) is None
    assert class_answer(CHOICE, Round(hands=(0.0, 0.0))) is None


def test_the_solver_counts_who_was_right() -> None:
    here = Readings(solved(ELSEWHERE.finish), solved(ELSEWHERE.start))
    assert right_count(CHOICE, Round(hands=(4.0, 3.0)), here) == 4
    there = Readings(solved(SHADE.finish), solved(SHADE.start))
    truth = there.before.solution.power_W - there.now.solution.power_W
    assert right_count(NUMBER, Round(hands=(truth, truth + 9.0, truth + 11.0)), there) == 2  # within 10 W


finite = st.floats(-1e6, 1e6, allow_nan=False)


@given(st.lists(st.lists(finite, max_size=40), min_size=1, max_size=2))
def test_every_number_is_counted_once_and_bars_stay_few(rounds) -> None:
    bars = count_bars(rounds)
    for each, counts, below, above in zip(rounds, bars.counts, bars.below, bars.above, strict=True):
        assert sum(counts) + below + above == len(each)
    assert max(len(bars.edges) - 1, 0) <= MOST_BARS + 2
    assert list(bars.edges) == sorted(set(bars.edges))


def test_bars_have_round_edges_and_a_slip_does_not_squeeze_them() -> None:
    bars = count_bars([[4, 5, 5, 6, 7, 5, 4, 6, 5e6]])
    assert bars.edges[0] <= 4
    assert bars.edges[-1] >= 7
    assert bars.edges[-1] < 20
    assert bars.above == (1,)


@pytest.mark.parametrize("number", [12.0, -40.0, 0.0, 2.63, 5440.0])
def test_a_class_of_one_mind_stands_on_an_axis_that_can_be_read(number: float) -> None:
    bars = count_bars([[number] * 3])
    assert sum(bars.counts[0]) == 3
    assert all(len(f"{edge:g}") <= max(len(f"{number:g}") + 1, 4) for edge in bars.edges)


def test_both_ends_of_a_tolerance_band_lie_inside_the_bars() -> None:
    bars = count_bars([[1.0, 1.1, 1.2, 1.3]], keep=(4.0, 4.4))
    assert bars.edges[0] <= 1.0
    assert bars.edges[-1] >= 4.4
