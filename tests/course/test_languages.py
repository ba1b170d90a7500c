"""Every lesson of a course is played to its end in every language it has, with the same numbers in each."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from html import unescape
from pathlib import Path

import pytest

pytest.importorskip("markdown_it", reason="lesson text is shown by the extra pvsim[page]")

from pvsim.course.folder.course_check import given_for
from pvsim.course.folder.course_reader import OWN_LESSONS, course_languages, read_course
from pvsim.course.lesson.audience import audience_of
from pvsim.course.lesson.lesson import ChoiceQuestion, Course, Lesson, NumberQuestion, Question, Step
from pvsim.course.lesson.render import render
from pvsim.course.number.evaluation import Readings
from pvsim.course.number.number_words import manner_of
from pvsim.course.number.solved_scenario import solved
from pvsim.course.play import player
from pvsim.course.play.player import Progress
from tests.course.samples import write_whole_course

_NUMBER = re.compile(r'<data class="computed">(.*?)</data>')
_DIGITS = re.compile(r"[+\u2212]?(\d+(?:[.,]\d+)?)")
_RANGE = re.compile(r'(\w+)\s+(?:<strong>)?<data class="computed">\d+ (?:to|bis) \d')
_VAGUE = ("near", "about", "roughly", "around", "etwa", "rund", "ungefähr", "knapp")


def play(lesson: Lesson) -> Progress:
    """Play a lesson from its opening to its closing, each step by its solution and right answers."""
    progress = player.begin(lesson)
    for number, step in enumerate(lesson.steps, start=1):
        here = Readings(solved(step.finish), solved(step.start))
        progress = player.go_to(lesson, progress, number)
        assert player.locked(lesson, progress)
        progress = player.predict(lesson, progress, given_for(step.predict, here))
        progress = player.watch(lesson, progress, here.now)
        if step.observe is not None:
            progress = player.observe(lesson, progress, given_for(step.observe, here))
        assert player.phase_of(step, player.mark_of(lesson, progress)) == "explain", (lesson.file, step.id)
    return player.go_to(lesson, progress, len(lesson.steps) + 1)


def feedbacks(question: Question | None) -> tuple[str, ...]:
    if isinstance(question, ChoiceQuestion):
        return tuple(text for one in question.choices for text in (one.text, one.feedback))
    return tuple(one.feedback for one in question.mistakes) if isinstance(question, NumberQuestion) else ()


def texts_of(step: Step) -> tuple[str, ...]:
    """Every text of a step, in an order that all languages share."""
    sections = (step.lead, step.ask, step.act, step.notice, step.explain, step.notes)
    said = tuple(section.text for section in sections)
    return (*said, *feedbacks(step.predict), *feedbacks(step.observe))


SHOWN: dict[tuple[int, str, str], tuple[str, ...]] = {}  # several tests look at the same texts


def shown_texts(course: Course, lesson: Lesson, track: str = "") -> tuple[str, ...]:
    """All text of a lesson as it is shown when every step has been done, as HTML."""
    key = (id(course), lesson.slug, track)  # of those that are kept below
    if key not in SHOWN:
        audience = audience_of(course, lesson, track)
        first = solved(lesson.steps[0].start)
        shown = [render(lesson.opening.text, Readings(first, first), audience)]
        for step in lesson.steps:
            here = Readings(solved(step.finish), solved(step.start))
            shown += [render(text, here, audience) for text in texts_of(step)]
        SHOWN[key] = (*shown, render(lesson.closing.text, Readings(first, first), audience))
    return SHOWN[key]


def side_by_side(courses: dict[str, Course]) -> Iterator[tuple[Course, Lesson]]:
    """Every lesson in one language after the other: what they have in common is solved once."""
    for lessons in zip(*(course.lessons for course in courses.values()), strict=True):
        yield from zip(courses.values(), lessons, strict=True)


def sizes(html: str, language: str) -> list[str]:
    """The computed numbers of a text without sign, words read as digits, in order of size."""
    words = manner_of(language).words
    found = []
    for number in map(unescape, _NUMBER.findall(html)):
        digits = _DIGITS.match(number)
        if digits is None:
            stem = next(k for k, word in enumerate(words) if number.startswith(word))
            found.append(str(stem))
        else:
            found.append(digits[1].replace(",", "."))
    return sorted(found)


@cache
def in_each_language(folder: Path) -> dict[str, Course]:
    """A course in each of its languages, the one it is written in first."""
    return {language: read_course(folder, language) for language in course_languages(folder)}


@pytest.fixture(scope="module", params=["own", "small"])
def courses(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Course]:
    own = request.param == "own"
    return in_each_language(OWN_LESSONS if own else write_whole_course(tmp_path_factory.mktemp("course")))


def test_every_lesson_is_played_to_its_end_in_every_language(courses: dict[str, Course]) -> None:
    assert len(courses) > 1
    assert all(course.problems == () for course in courses.values())
    for _course, lesson in side_by_side(courses):
        progress = play(lesson)
        assert progress.page == len(lesson.steps) + 1
        assert all(mark.done is not None for mark in progress.marks)


def test_every_text_is_shown_whole_on_every_track(courses: dict[str, Course]) -> None:
    for course, lesson in side_by_side(courses):
        for track in ("", *(one.id for one in course.tracks)):
            html = "\n".join(shown_texts(course, lesson, track))
            for raw in ("{{", "}}", "[[", "]]", "```", "no value", "kein Wert"):
                assert raw not in html, (lesson.file, raw)
            assert '<details class="aside"' in html


def test_every_language_computes_the_same_numbers_in_every_text(courses: dict[str, Course]) -> None:
    original, *others = courses.values()
    compared = 0
    for course in others:
        for mine, theirs in zip(course.lessons, original.lessons, strict=True):
            for one, other in zip(shown_texts(course, mine), shown_texts(original, theirs), strict=True):
                assert sizes(one, mine.language) == sizes(other, theirs.language), (mine.file, one, other)
                compared += len(sizes(one, mine.language))
    assert compared > 3


def test_a_german_text_has_no_decimal_point_and_an_english_one_no_comma(courses: dict[str, Course]) -> None:
    wrong = {"en": re.compile(r"\d,\d"), "de": re.compile(r"\d\.\d")}
    for course, lesson in side_by_side(courses):
        for html in shown_texts(course, lesson):
            for number in _NUMBER.findall(html):
                assert not wrong[lesson.language].search(number), (lesson.file, number)


@pytest.mark.parametrize("language", course_languages(OWN_LESSONS))
def test_no_word_makes_a_range_vaguer_than_it_is(language: str) -> None:
    """A range says how much is known; "near 160 to 210" says it twice."""
    course = in_each_language(OWN_LESSONS)[language]
    before = [
        (lesson.slug, word)
        for lesson in course.lessons
        for html in shown_texts(course, lesson)
        for word in _RANGE.findall(html)
    ]
    assert len(before) > 3
    assert [found for found in before if found[1] in _VAGUE] == []
