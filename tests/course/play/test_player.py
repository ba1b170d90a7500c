"""Playing a lesson: locked until predicted, done by the solver, nothing lost on the way."""

from __future__ import annotations

import pytest

from pvsim.array import paint, parse_place, set_operation
from pvsim.course.lesson.lesson import Lesson
from pvsim.course.number.solved_scenario import solved
from pvsim.course.play import player
from pvsim.course.play.answers import NumberAnswer
from pvsim.course.play.player import Progress
from pvsim.errors import LessonError
from tests.course.samples import find, lesson


@pytest.fixture(scope="module")
def small() -> Lesson:
    return lesson()


@pytest.fixture
def at_step(small: Lesson) -> Progress:
    return player.go_to(small, player.begin(small), 1)


def phase(small: Lesson, progress: Progress) -> str:
    step = player.step_of(small, progress)
    assert step is not None
    return player.phase_of(step, player.mark_of(small, progress))


def test_a_step_is_locked_until_a_prediction_is_stored(small: Lesson, at_step: Progress) -> None:
    assert player.locked(small, at_step)
    assert phase(small, at_step) == "predict"
    stored = player.predict(small, at_step, "5")
    assert not player.locked(small, stored)
    assert phase(small, stored) == "act"


def test_opening_and_closing_are_not_locked(small: Lesson) -> None:
    opening = player.begin(small)
    assert not player.locked(small, opening)
    assert not player.locked(small, player.go_to(small, opening, 99))


def test_a_change_before_the_prediction_does_not_count(small: Lesson, at_step: Progress) -> None:
    assert player.watch(small, at_step, solved(small.steps[0].finish)) == at_step


def test_a_stored_prediction_stays(small: Lesson, at_step: Progress) -> None:
    stored = player.predict(small, at_step, "5")
    assert player.predict(small, stored, "6") == stored
    assert player.mark_of(small, stored).prediction == NumberAnswer(5.0)


def test_an_unreadable_prediction_stores_nothing(small: Lesson, at_step: Progress) -> None:
    with pytest.raises(LessonError):
        player.predict(small, at_step, "much")
    assert player.mark_of(small, at_step).prediction is None


def test_the_start_is_not_done_and_the_solution_is(small: Lesson, at_step: Progress) -> None:
    stored = player.predict(small, at_step, "5")
    assert player.watch(small, stored, solved(small.steps[0].start)) == stored
    done = player.watch(small, stored, solved(small.steps[0].finish))
    assert phase(small, done) == "observe"


def test_the_act_may_be_done_in_another_way_than_the_solution(small: Lesson, at_step: Progress) -> None:
    own = paint(small.steps[0].start, [parse_place("1/1/33")], 0.1)
    done = player.watch(small, player.predict(small, at_step, "5"), solved(own))
    assert player.mark_of(small, done).done == own


def test_numbers_are_read_from_the_last_state_in_which_the_act_was_done(
    small: Lesson, at_step: Progress
) -> None:
    start, finish = small.steps[0].start, small.steps[0].finish
    progress = player.watch(small, player.predict(small, at_step, "5"), solved(finish))
    progress = player.watch(small, progress, solved(start))  # undone again: the text must stay true
    mark = player.mark_of(small, progress)
    assert player.readings_of(small.steps[0], mark).now.scenario == finish
    other = paint(start, [parse_place("1/1/33")], 0.1)
    progress = player.watch(small, progress, solved(other))
    assert player.readings_of(small.steps[0], player.mark_of(small, progress)).now.scenario == other


def test_what_the_act_does_not_change_is_no_other_way_of_doing_it(small: Lesson, at_step: Progress) -> None:
    finish = small.steps[0].finish
    progress = player.watch(small, player.predict(small, at_step, "5"), solved(finish))
    held = set_operation(finish, "current", 1.0)
    assert player.watch(small, progress, solved(held)) == progress
    assert player.looks_further(player.mark_of(small, progress), held)


def test_a_solved_step_stays_as_it_is(small: Lesson, at_step: Progress) -> None:
    start, finish = small.steps[0].start, small.steps[0].finish
    progress = player.watch(small, player.predict(small, at_step, "5"), solved(finish))
    other = solved(paint(start, [parse_place("1/1/33")], 0.1))
    for answered in (player.observe(small, progress, 1), player.settle(small, progress)):
        assert player.watch(small, answered, other) == answered
        assert player.watch(small, answered, solved(start), going_on=True) == answered


def test_a_change_that_goes_on_past_the_act_has_not_done_it(small: Lesson, at_step: Progress) -> None:
    start, finish = small.steps[0].start, small.steps[0].finish
    stored = player.predict(small, at_step, "5")
    done = player.watch(small, stored, solved(finish))
    assert player.watch(small, done, solved(start), going_on=True) == stored


def test_another_array_on_the_page_is_simply_not_done(small: Lesson) -> None:
    progress = player.predict(small, player.go_to(small, player.begin(small), 2), 0)
    assert player.watch(small, progress, solved(find("single-module"))) == progress


def test_a_wrong_observation_keeps_the_explanation_shut_and_may_be_tried_again(
    small: Lesson, at_step: Progress
) -> None:
    progress = player.watch(small, player.predict(small, at_step, "5"), solved(small.steps[0].finish))
    wrong = player.observe(small, progress, 1)
    assert phase(small, wrong) == "observe"
    assert player.mark_of(small, wrong).tries == 1
    assert phase(small, player.observe(small, wrong, 0)) == "explain"
    assert phase(small, player.settle(small, wrong)) == "explain"


def test_nothing_can_be_observed_before_the_act(small: Lesson, at_step: Progress) -> None:
    with pytest.raises(LessonError, match="nothing to observe"):
        player.observe(small, player.predict(small, at_step, "5"), 0)
    assert player.settle(small, at_step) == at_step


def test_turning_pages_keeps_what_was_done_and_stops_at_the_ends(small: Lesson, at_step: Progress) -> None:
    stored = player.predict(small, at_step, "5")
    away = player.go_to(small, stored, 2)
    assert player.mark_of(small, player.go_to(small, away, 1)).prediction == NumberAnswer(5.0)
    assert player.go_to(small, away, -5).page == 0
    assert player.go_to(small, away, 500).page == len(small.steps) + 1


def test_restarting_a_step_forgets_that_step_alone(small: Lesson, at_step: Progress) -> None:
    both = player.predict(small, player.go_to(small, player.predict(small, at_step, "5"), 2), 1)
    again = player.restart_step(small, both)
    assert player.locked(small, again)
    assert again.marks[0].prediction == NumberAnswer(5.0)


def test_the_verdict_waits_for_the_act(small: Lesson, at_step: Progress) -> None:
    step = small.steps[0]
    stored = player.predict(small, at_step, "5,7")
    assert player.verdicts(step, player.mark_of(small, stored)) == (None, None)
    done = player.watch(small, stored, solved(step.finish))
    first, second = player.verdicts(step, player.mark_of(small, done))
    assert first is not None
    assert first.idea == "a sixtieth of the area"
    assert second is None
