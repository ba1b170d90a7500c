"""The ideas to revisit: what wrong predictions and observations of a workbook showed."""

from __future__ import annotations

import pytest

from pvsim.course.folder.course_reader import own_course
from pvsim.course.lesson.lesson import ChoiceQuestion, Lesson, NumberQuestion
from pvsim.course.number.evaluation import Readings, value_of
from pvsim.course.number.solved_scenario import solved
from pvsim.course.play import player
from pvsim.course.play.answers import ChoiceAnswer, right_answer
from pvsim.course.play.player import Progress
from pvsim.course.play.revisit import ideas_met, ideas_of

COURSE = own_course()


def of(slug: str) -> Lesson:
    return next(one for one in COURSE.lessons if one.slug == slug)


def done(lesson: Lesson, given: object) -> Progress:
    """The first step, predicted so, and its act done."""
    progress = player.go_to(lesson, player.begin(lesson), 1)
    progress = player.predict(lesson, progress, given)
    return player.watch(lesson, progress, solved(lesson.steps[0].finish))


def readings(lesson: Lesson) -> Readings:
    return Readings(solved(lesson.steps[0].finish), solved(lesson.steps[0].start))


def test_a_wrong_number_shows_its_idea_and_is_found_by_key_and_words() -> None:
    lesson = of("snow-edge")
    question = lesson.steps[0].predict
    assert isinstance(question, NumberQuestion)
    far = value_of(question.mistakes[0].value, readings(lesson)) / question.unit.size
    (found,) = ideas_met(COURSE, {"snow-edge": done(lesson, f"{far:.2f}")})
    assert (found.key, found.lesson) == ("snow-edge/upright/predict#0", "snow-edge")
    assert found.text == question.mistakes[0].idea
    assert ideas_met(COURSE, {"snow-edge": done(lesson, f"{far:.2f}")}, {found.key}) == ()


def test_before_the_act_nobody_knows_whether_it_was_wrong() -> None:
    lesson = of("snow-edge")
    progress = player.predict(lesson, player.go_to(lesson, player.begin(lesson), 1), "10")
    assert ideas_met(COURSE, {"snow-edge": progress}) == ()


@pytest.mark.parametrize("slug", ["snow-edge", "read-the-label"])
def test_a_right_answer_shows_none_and_a_slip_is_none_of_the_lesson(slug: str) -> None:
    lesson = of(slug)
    question = lesson.steps[0].predict
    assert isinstance(question, NumberQuestion)
    truth = value_of(question.answer, readings(lesson)) / question.unit.size
    assert ideas_met(COURSE, {slug: done(lesson, f"{truth:.3f}")}) == ()
    if question.unit.name == "%":
        assert ideas_met(COURSE, {slug: done(lesson, f"{truth / 100:.4f}")}) == ()


def test_the_last_observation_counts() -> None:
    lesson = of("snow-edge")
    step = lesson.steps[0]
    assert isinstance(step.observe, ChoiceQuestion)
    right = right_answer(step.observe, readings(lesson))
    assert isinstance(right, ChoiceAnswer)
    wrong = next(k for k in range(len(step.observe.choices)) if k != right.choice)
    progress = player.observe(lesson, done(lesson, "99"), wrong)
    (found,) = ideas_met(COURSE, {"snow-edge": progress})
    assert found.key == f"snow-edge/upright/observe#{wrong}"
    assert ideas_met(COURSE, {"snow-edge": player.observe(lesson, progress, right.choice)}) == ()


def test_keys_are_the_same_in_every_language() -> None:
    german = own_course("de")
    for lesson, other in zip(COURSE.lessons, german.lessons, strict=True):
        for step, same in zip(lesson.steps, other.steps, strict=True):
            assert len(ideas_of(step.predict)) == len(ideas_of(same.predict))
            assert [bool(one) for one in ideas_of(step.predict)] == [
                bool(one) for one in ideas_of(same.predict)
            ]
