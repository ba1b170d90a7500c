"""A closing test is drawn for the ideas to revisit first, then for the rest of the course, from a seed."""

from __future__ import annotations

from collections import Counter

import pytest

from pvsim.course.folder.course_reader import OWN_LESSONS, own_course
from pvsim.course.play.revisit import Idea
from pvsim.exercise import own_exercises
from pvsim.exercise.closing import MOST_QUESTIONS, draw_closing, idea_key, idea_text
from pvsim.exercise.idea_name import ideas_asked, ideas_met_in
from pvsim.exercise.pool import Pool, course_pool, idea_ids, ideas_named

LESSONS = tuple(one.slug for one in own_course().lessons)
SNOW = Idea(key="snow-edge/upright/predict#0", lesson="snow-edge", text="the loss is the covered area")
AGAIN = Idea(key="snow-edge/knee-deep/predict#1", lesson="snow-edge", text="the loss is the covered area")
UNNAMED = Idea(key="diode/x/predict#0", lesson="diode", text="an idea that no exercise names")


def lesson_of(name):
    return name.partition("/")[0]


def draw(*revisit, seed=7, most=MOST_QUESTIONS, lessons=LESSONS):
    pool = Pool(lessons=tuple(lessons), read=own_exercises, names=course_pool(own_course()).names)
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


def test_an_idea_is_known_by_its_name_whatever_its_words_are_and_in_other_lessons_too():
    """The snow of one lesson and the thin shadow of another are met by one misconception."""
    told = Idea(
        key="snow-edge/upright/predict#0", lesson="snow-edge", text="words", id="loss-is-the-missing-light"
    )
    for seed in range(6):
        (first, *_others) = draw(told, seed=seed)
        assert (first.exercise, first.ideas) == ("snow-edge/fresh/shelves-under-snow", (told.key,))
    elsewhere = Idea(
        key="find-it/two-strings/predict#3",
        lesson="find-it",
        text="words",
        id="backwards-at-most-short-circuit-current",
    )
    (first, *_others) = draw(elsewhere)
    assert first.exercise == "strong-feed-weak/fresh/what-flows-backwards"


def test_one_idea_met_in_two_lessons_is_asked_for_once():
    two = [
        Idea(key=f"{slug}/step/predict#0", lesson=slug, text=slug, id="noon-holds-all-day")
        for slug in ("long-shadow", "snow-edge")
    ]
    asked = draw(*two)
    assert [set(one.ideas) for one in asked if one.ideas] == [{one.key for one in two}]


def test_every_name_of_an_idea_is_met_in_a_lesson_and_asked_for_by_an_exercise():
    met = {name for slug in LESSONS for name in ideas_met_in(OWN_LESSONS, slug)}
    asked = {name for slug in LESSONS for name in ideas_asked(OWN_LESSONS, slug)}
    assert met == asked
    assert len(met) > 70


def test_names_are_the_same_in_every_language():
    for slug in LESSONS:
        for one, other in zip(own_exercises(slug), own_exercises(slug, "de"), strict=True):
            assert idea_ids(one) == idea_ids(other)


def test_more_than_half_of_the_lessons_ideas_have_an_exercise_of_their_own():
    """Those that have none are asked for by any exercise of their lesson: most are slips of reading."""
    pool, found, every = course_pool(own_course()), 0, 0
    for lesson in own_course().lessons:
        words = {idea for one in pool.read(lesson.slug) for idea in ideas_named(one)}
        questions = [one for step in lesson.steps for one in (step.predict, step.observe) if one is not None]
        entries = [one for asked in questions for one in getattr(asked, "choices", None) or asked.mistakes]
        ideas = {one.idea: one.idea_id for one in entries if one.idea}
        every += len(ideas)
        found += sum(text in words or bool(pool.asking(name)) for text, name in ideas.items())
    assert found > every / 2
