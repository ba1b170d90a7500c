"""A closing test is drawn for the ideas to revisit first, then for the rest of the course, from a seed."""

from __future__ import annotations

from collections import Counter

import pytest

from pvsim.course.folder.course_reader import own_course
from pvsim.course.play.revisit import Idea
from pvsim.exercise import own_exercises
from pvsim.exercise.closing import MOST_QUESTIONS, draw_closing, idea_key, idea_text
from pvsim.exercise.pool import Pool, course_pool, ideas_named

LESSONS = tuple(one.slug for one in own_course().lessons)
SNOW = Idea(key="snow-edge/upright/predict#0", lesson="snow-edge", text="the loss is the covered area")
AGAIN = Idea(key="snow-edge/knee-deep/predict#1", lesson="snow-edge", text="the loss is the covered area")
UNNAMED = Idea(key="diode/x/predict#0", lesson="diode", text="an idea that no exercise names")


def lesson_of(name):
    return name.partition("/")[0]


def draw(*revisit, seed=7, most=MOST_QUESTIONS, lessons=LESSONS):
    pool = Pool(lessons=tuple(lessons), read=own_exercises, asking=course_pool(own_course()).asking)
    return draw_closing(pool, revisit, seed, most)


def test_without_ideas_the_whole_course_is_drawn_on_each_lesson_once():
    asked = draw()
    assert len(asked) == MOST_QUESTIONS
    assert len({lesson_of(one.exercise) for one in asked}) == MOST_QUESTIONS
    assert all(one.ideas == () and one.share is None for one in asked)
    drawn = Counter(lesson_of(one.exercise) for seed in range(60) for one in draw(seed=seed))
    assert set(drawn) == set(LESSONS)
    expected = 60 * MOST_QUESTIONS / len(LESSONS)
    assert max(drawn.values()) < 2 * expected
    assert min(drawn.values()) > expected / 2


def test_ideas_to_revisit_come_first_and_by_an_exercise_that_names_them():
    for seed in range(10):
        first = draw(SNOW, seed=seed)[0]
        assert first.exercise == "snow-edge/fresh/shelves-under-snow"
        assert first.ideas == (SNOW.key,)


def test_an_idea_that_no_exercise_names_is_asked_for_by_one_of_its_lesson():
    found = {draw(UNNAMED, seed=seed)[0].exercise for seed in range(20)}
    assert {lesson_of(one) for one in found} == {"diode"}
    assert len(found) > 1, "which one is drawn"


def test_the_same_idea_met_twice_is_asked_for_once():
    (first, *others) = draw(SNOW, AGAIN)
    assert set(first.ideas) == {SNOW.key, AGAIN.key}
    assert all(one.ideas == () for one in others)


def test_each_lesson_has_its_turn_before_one_has_a_second():
    ideas = [
        Idea(key=f"{slug}/step/predict#{k}", lesson=slug, text=f"{slug} {k}")
        for slug in LESSONS[:4]
        for k in range(2)
    ]
    asked = draw(*ideas)
    assert {lesson_of(one.exercise) for one in asked[:4]} == set(LESSONS[:4])
    assert all(one.ideas for one in asked)


def test_a_seed_draws_the_same_and_another_seed_another_test():
    assert draw(SNOW, UNNAMED) == draw(SNOW, UNNAMED)
    assert len({draw(seed=seed) for seed in range(20)}) > 15


def test_no_exercise_is_asked_twice_and_a_small_course_gives_as_many_as_it_has():
    asked = draw(most=20, lessons=("diode", "two-tops"))
    able = [one.id for slug in ("diode", "two-tops") for one in own_exercises(slug)]
    assert sorted(one.exercise for one in asked) == sorted(able)
    assert draw(lessons=()) == ()
    assert draw(SNOW, lessons=()) == ()


def test_exercises_with_own_readings_are_left_out():
    readings = [one.id for slug in LESSONS for one in own_exercises(slug) if "reading" in one.values]
    assert readings, "there are some"
    every = {one.exercise for one in draw(most=len(LESSONS) * 20)}
    assert not every & set(readings)
    assert len(every) == sum(len(own_exercises(slug)) for slug in LESSONS) - len(readings)


@pytest.mark.parametrize("language", ["en", "de"])
def test_a_key_finds_its_words_in_every_language(language):
    for slug in LESSONS:
        for template in own_exercises(slug, language):
            for idea in filter(None, ideas_named(template)):
                assert idea_text(template, idea_key(template, idea)) == idea
    template = own_exercises("diode", language)[0]
    for key in ("", "diode#0", f"{template.id}#", f"{template.id}#99", f"{template.id}#x"):
        assert idea_text(template, key) == ""
    assert idea_key(template, "an idea of nobody") == idea_key(template, "") == ""
