"""The imaginary class of a rehearsal."""

from __future__ import annotations

import pytest

from pvsim.course.lecture.class_answers import Round, right_count, size
from pvsim.course.lecture.lecture import lecture_of
from pvsim.course.lecture.lecture_state import Podium, ask_again, forward, standing_of, take
from pvsim.course.lecture.rehearsal import invent, invented_round
from pvsim.course.lesson.lesson import Course
from pvsim.course.number.evaluation import Readings
from pvsim.course.number.solved_scenario import solved
from tests.course.samples import lesson

COURSE = Course(title="Small", lessons=(lesson(),))
SHADE, ELSEWHERE = COURSE.lessons[0].steps


@pytest.mark.parametrize("step", [SHADE, ELSEWHERE], ids=["number", "choice"])
def test_an_imaginary_class_is_the_same_for_a_seed_and_learns_from_talking(step) -> None:
    here = Readings(solved(step.finish), solved(step.start))
    first = invented_round(step.predict, here, seed=7)
    assert first == invented_round(step.predict, here, seed=7)
    assert size(step.predict, first) == 30
    gains = [
        right_count(step.predict, invented_round(step.predict, here, seed=seed, after=True), here)
        - right_count(step.predict, invented_round(step.predict, here, seed=seed), here)
        for seed in range(20)
    ]
    assert sum(gains) / len(gains) > 3


def test_each_round_is_answered_once_and_real_answers_stay() -> None:
    opening = Podium(lecture=lecture_of(COURSE))
    assert invent(opening, COURSE) == opening, "nothing is asked"
    asked = invent(forward(opening), COURSE)
    assert size(SHADE.predict, standing_of(asked).rounds[-1]) == 30
    assert invent(asked, COURSE) == asked
    again = invent(ask_again(asked, COURSE), COURSE)
    first, second = standing_of(again).rounds
    assert first == standing_of(asked).rounds[0]
    assert first != second
    mine = take(forward(opening), Round(hands=(5.0,)))
    assert invent(mine, COURSE) == mine
