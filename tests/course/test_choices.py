"""Choices do not give the answer away: not by a reason, not by their length, not by their place."""

from __future__ import annotations

import re
from collections import Counter
from math import sqrt

import pytest

from pvsim.course.folder.course_reader import OWN_LESSONS, course_languages, own_course
from pvsim.course.lesson.lesson import ChoiceQuestion
from pvsim.course.text.typed_numbers import COMPUTED

LANGUAGES = course_languages(OWN_LESSONS)
MOST_DEVIATIONS = 1.64  # chance alone stays below in 95 of 100 courses (normal distribution, one side)

_REASON = re.compile(r"[:;\u2013\u2014]|\b(?:because|since|so that|weil|denn|damit)\b")


def questions(language: str) -> list[tuple[str, list[str], int]]:
    """Name, choices and place of the right one, of every question with choices."""
    return [
        (
            f"{lesson.slug}/{step.id}",
            [COMPUTED.sub("0.00 V", one.text) for one in question.choices],
            [one.right for one in question.choices].index(True),
        )
        for lesson in own_course(language).lessons
        for step in lesson.steps
        for question in (step.predict, step.observe)
        if isinstance(question, ChoiceQuestion)
    ]


def has_reason(text: str) -> bool:
    """Whether a choice says why, and not only what."""
    return bool(_REASON.search(text))


def chance(shares: list[float]) -> tuple[float, float]:
    """Mean and standard deviation of a count, each question hit with its share."""
    return sum(shares), sqrt(sum(share * (1 - share) for share in shares))


@pytest.mark.parametrize("language", LANGUAGES)
def test_all_choices_of_a_question_give_a_reason_or_none_does(language: str) -> None:
    for name, texts, _ in questions(language):
        assert len({has_reason(text) for text in texts}) == 1, (name, texts)


@pytest.mark.parametrize("extreme", [min, max], ids=["shortest", "longest"])
@pytest.mark.parametrize("language", LANGUAGES)
def test_the_right_choice_is_the_shortest_or_longest_no_more_often_than_by_chance(
    language: str, extreme: type
) -> None:
    """Of several that are equally long, each counts for its share."""
    hits, shares = 0.0, []
    for _, texts, right in questions(language):
        lengths = [len(text) for text in texts]
        if lengths[right] == extreme(lengths):
            hits += 1 / lengths.count(lengths[right])
        shares.append(1 / len(lengths))
    mean, deviation = chance(shares)
    assert abs(hits - mean) <= MOST_DEVIATIONS * deviation, (hits, mean)


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_right_choice_stands_in_every_place_about_as_often_as_by_chance(language: str) -> None:
    found = questions(language)
    places = Counter(right for _, _, right in found)
    for place in range(3):
        mean, deviation = chance([1 / len(texts) if place < len(texts) else 0.0 for _, texts, _ in found])
        assert abs(places[place] - mean) <= MOST_DEVIATIONS * deviation, (place, places[place], mean)
