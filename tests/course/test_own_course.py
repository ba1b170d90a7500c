"""The lessons that come with pvsim: in order, playable, and true."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from math import isfinite

import pytest

from pvsim.array.change import set_light
from pvsim.course.folder.course_check import given_for
from pvsim.course.folder.course_reader import own_course
from pvsim.course.lesson.lesson import ChoiceQuestion, Lesson, NumberQuestion, Step
from pvsim.course.number.checks import all_hold
from pvsim.course.number.evaluation import Readings, parse_number, show, value_of
from pvsim.course.number.solved_scenario import solved
from pvsim.course.play import player
from pvsim.course.play.answers import ChoiceAnswer, judge, read_answer, right_answer
from pvsim.course.text.text_check import computed
from pvsim.exercise import own_exercises
from tests.once import check_of_all

LESSONS = own_course().lessons
STEPS = [
    pytest.param(lesson, number, id=f"{lesson.slug}/{step.id}")
    for lesson in LESSONS
    for number, step in enumerate(lesson.steps, start=1)
]


def readings(step: Step) -> Readings:
    return Readings(solved(step.finish), solved(step.start))


def test_the_course_has_no_problems(tmp_path_factory: pytest.TempPathFactory) -> None:
    code, out, _err = check_of_all(tmp_path_factory)
    assert code == 0, out
    assert out.endswith(" files checked, all in order\n")


def test_the_course_is_read_once_whether_its_language_is_named_or_not() -> None:
    assert own_course() is own_course("en")
    assert own_exercises("diode") is own_exercises("diode", "en")


def test_the_lessons_are_there_in_their_order() -> None:
    slugs = [lesson.slug for lesson in LESSONS]
    first_hour = ["one-cell", "cell-to-array", "hungry-cell", "diode", "two-tops", "five-levels"]
    faults = ["darkest-hottest", "four-deaths", "absent-diode", "unseen-wire", "strong-feed-weak"]
    roofs = ["snow-edge", "back-side", "roof-wiring", "long-shadow"]
    assert slugs == ["read-the-label", *first_hour, *faults, *roofs, "find-it"]


def test_a_lesson_stands_behind_those_that_it_needs() -> None:
    slugs = [lesson.slug for lesson in LESSONS]
    for lesson in LESSONS:
        assert set(lesson.needs) <= set(slugs[: slugs.index(lesson.slug)]), lesson.slug


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.slug)
def test_a_lesson_has_all_that_a_lesson_needs(lesson: Lesson) -> None:
    assert lesson.limits
    assert lesson.sources
    assert lesson.opening
    assert lesson.closing
    own = [step for step in lesson.steps if not step.transfer]
    away = [step for step in lesson.steps if step.transfer]
    assert len(own) >= 2
    assert all(step.observe is not None for step in own)
    assert len(away) == 1
    assert away[0].start.array != own[0].start.array


@pytest.mark.parametrize(("lesson", "number"), STEPS)
def test_a_step_is_played_to_its_end_by_its_solution(lesson: Lesson, number: int) -> None:
    step = lesson.steps[number - 1]
    here = readings(step)
    progress = player.go_to(lesson, player.begin(lesson), number)
    assert player.locked(lesson, progress)
    assert not all_hold(step.done_when, here.before)
    progress = player.predict(lesson, progress, given_for(step.predict, here))
    progress = player.watch(lesson, progress, here.before)
    assert player.mark_of(lesson, progress).done is None
    progress = player.watch(lesson, progress, here.now)
    assert player.mark_of(lesson, progress).done == step.finish
    if step.observe is not None:
        progress = player.observe(lesson, progress, given_for(step.observe, here))
    mark = player.mark_of(lesson, progress)
    assert player.phase_of(step, mark) == "explain"
    first, second = player.verdicts(step, mark)
    assert first is not None
    assert first.right
    assert second is None or second.right


@pytest.mark.parametrize(("lesson", "number"), STEPS)
def test_every_wrong_answer_has_its_own_idea_and_feedback(lesson: Lesson, number: int) -> None:
    step = lesson.steps[number - 1]
    here = readings(step)
    for question in filter(None, (step.predict, step.observe)):
        if isinstance(question, ChoiceQuestion):
            right = right_answer(question, here)
            wrong = [k for k in range(len(question.choices)) if ChoiceAnswer(k) != right]
            verdicts = [judge(question, ChoiceAnswer(k), here) for k in wrong]
        else:
            given = [value_of(one.value, here) / question.unit.size for one in question.mistakes]
            verdicts = [judge(question, read_answer(question, f"{one:.9g}"), here) for one in given]
        assert not any(verdict.right for verdict in verdicts)
        assert len({verdict.idea for verdict in verdicts}) == len(verdicts)
        assert all(verdict.idea and verdict.feedback for verdict in verdicts)


@pytest.mark.parametrize(("lesson", "number"), STEPS)
def test_a_number_asked_for_leaves_room_for_a_sound_estimate(lesson: Lesson, number: int) -> None:
    step = lesson.steps[number - 1]
    if isinstance(step.predict, NumberQuestion):
        truth = abs(value_of(step.predict.answer, readings(step)))
        allowed = step.predict.tolerance + step.predict.relative_tolerance * truth
        assert 0.02 * truth <= allowed <= 0.5 * truth


@pytest.mark.parametrize(("lesson", "number"), STEPS)
def test_the_numbers_in_the_text_have_values_and_follow_the_light(lesson: Lesson, number: int) -> None:
    """The light that is set, and that of the day: two months later in the year it is another."""
    step = lesson.steps[number - 1]
    here = readings(step)
    light_W_m2, day = step.finish.light.irradiance_W_m2, step.finish.day
    dimmed = set_light(step.finish, irradiance_W_m2=0.7 * light_W_m2 or 1.0)  # at night, a lamp
    dim = solved(replace(dimmed, day=day and replace(day, date=day.date + timedelta(days=60))))
    texts = [parse_number(text) for _, text in computed(step.explain.text)]
    assert texts, "an explanation without a computed number"
    assert all(isfinite(value_of(one.expression, here)) for one in texts)
    assert any(show(one, here) != show(one, Readings(dim, here.before)) for one in texts)
