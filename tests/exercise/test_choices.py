"""Choices of exercises do not give the answer away; the measures are those of the lessons' questions."""

from __future__ import annotations

import pytest

from pvsim.course.folder.course_reader import OWN_LESSONS, course_languages, own_course
from pvsim.course.text.typed_numbers import COMPUTED
from pvsim.exercise import own_exercises
from tests.course.test_choices import MOST_DEVIATIONS, chance, has_reason

LANGUAGES = course_languages(OWN_LESSONS)


def questions(language: str) -> list[tuple[str, list[str], int]]:
    """Name, choices and place of the right one, of every exercise with choices."""
    return [
        (
            template.id,
            [COMPUTED.sub("0.00 V", one["text"]) for one in choices],
            [one.get("right", False) for one in choices].index(True),
        )
        for lesson in own_course(language).lessons
        for template in own_exercises(lesson.slug, language)
        if (choices := template.values.get("choice"))
    ]


@pytest.mark.parametrize("language", LANGUAGES)
def test_all_choices_of_an_exercise_give_a_reason_or_none_does(language: str) -> None:
    for name, texts, _ in questions(language):
        assert len({has_reason(text) for text in texts}) == 1, (name, texts)


@pytest.mark.parametrize("language", LANGUAGES)
def test_neither_length_nor_place_tells_the_right_choice_more_often_than_chance(language: str) -> None:
    found = questions(language)
    mean, deviation = chance([1 / len(texts) for _, texts, _ in found])
    for extreme in (min, max):
        hits = 0.0
        for _, texts, right in found:
            lengths = [len(text) for text in texts]
            if lengths[right] == extreme(lengths):
                hits += 1 / lengths.count(lengths[right])
        assert abs(hits - mean) <= MOST_DEVIATIONS * deviation, (extreme, hits, mean)
    for place in range(3):
        hits = sum(right == place for _, _, right in found)
        assert abs(hits - mean) <= MOST_DEVIATIONS * deviation, (place, hits, mean)
