"""The minutes that a lesson names are those that somebody needs who learns alone."""

from __future__ import annotations

import pytest

from pvsim.course.folder.course_reader import own_course
from pvsim.course.lesson.lesson import Lesson
from pvsim.course.lesson.pace import MINUTES_A_STEP, WORDS_A_MINUTE, minutes_alone, words_of
from tests.course.samples import LESSON, lesson

LESSONS = own_course().lessons


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.slug)
def test_a_lesson_names_the_minutes_that_its_words_and_steps_take(lesson: Lesson) -> None:
    assert lesson.minutes == pytest.approx(minutes_alone(lesson), abs=1.5)
    assert 12 <= lesson.minutes <= 26, "a longer one is two"


def test_each_step_takes_its_time_and_each_word_counts_once() -> None:
    one = lesson()
    more = lesson(LESSON.replace("Shade one cell.\n", "Shade one cell" + " and wait" * 150 + ".\n"))
    assert words_of(more) == words_of(one) + 300
    assert minutes_alone(more) == pytest.approx(minutes_alone(one) + 300 / WORDS_A_MINUTE)
    assert minutes_alone(one) == pytest.approx(words_of(one) / WORDS_A_MINUTE + 2 * MINUTES_A_STEP)


def test_a_computed_number_is_one_word_and_notes_keys_and_warrants_are_none() -> None:
    one = words_of(lesson())
    notes = "### notes\n\nNot a word of this.\n\n### explain"
    assert words_of(lesson(LESSON.replace("### explain", notes, 1))) == one
    held = LESSON.replace("size }}.\n", "size }}{{ holds now[1/1].cells = 60 }}.\n", 1)
    assert words_of(lesson(held)) == one
    figure = '\n```figure\ncurrent = "1/1"\ncaption = "Three more words."\n```\n'
    drawn = LESSON.replace("size }}.\n", "size }}.\n" + figure, 1)
    assert words_of(lesson(drawn)) == one + 3


def test_of_asides_the_longest_counts() -> None:
    beside = "\n```aside a\none two three\n```\n\n```aside b\none two three four\n```\n"
    text = LESSON.replace("size }}.\n", "size }}.\n" + beside, 1)
    assert words_of(lesson(text)) == words_of(lesson()) + 4
