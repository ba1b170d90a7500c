"""What the own lessons say beside their steps: to the lecturer, to each track, in each language."""

from __future__ import annotations

import re
from collections import Counter

import pytest

from pvsim.course.folder.course_reader import OWN_LESSONS, course_languages, own_course, read_course
from pvsim.course.lesson.lesson import Lesson
from pvsim.course.text.blocks import asides
from pvsim.course.text.terms import marked_terms
from pvsim.words import _, speaking

LESSONS = own_course().lessons
TRANSLATED = [language for language in course_languages(OWN_LESSONS) if language != "en"]
WORDS_FOR_THE_LECTURER = 40  # fewer say nothing of wrong answers and of time

# What lessons call by its name on the page, emphasised; some names are plain words too, and are meant as
# names only in a row such as **Break**, *Cell*, *open*.
CONTROLS = (
    *("Light", "Temperature", "Operation", "Parts", "Break", "Cell", "Voltage", "Power", "Do it for me"),
    *("string cable open", "bypass diode open"),
)
IN_A_ROW = ("open", "short", "cracked")


def whole_text(lesson: Lesson) -> str:
    steps = [(s.lead, s.ask, s.act, s.notice, s.explain) for s in lesson.steps]
    sections = (lesson.opening, *(section for step in steps for section in step), lesson.closing)
    return "\n".join(section.text for section in sections)


@pytest.mark.parametrize("language", ["en", *TRANSLATED])
def test_every_step_has_notes_that_say_how_long_it_takes(language: str) -> None:
    minutes = {"en": "minute", "de": "Minute"}[language]
    for lesson in own_course(language).lessons:
        for step in lesson.steps:
            assert len(step.notes.text.split()) >= WORDS_FOR_THE_LECTURER, (lesson.slug, step.id)
            assert minutes in step.notes.text, (lesson.slug, step.id)


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.slug)
def test_what_is_for_the_roof_defers_to_the_local_code(lesson: Lesson) -> None:
    for_installers = [block.text for block in asides(whole_text(lesson)) if block.name == "installer"]
    assert for_installers
    said = " ".join(" ".join(for_installers).split())
    assert re.search(r"\blocal (codes?|rules)\b|\bcode of your place\b", said)


def test_lessons_mark_the_terms_that_they_cannot_do_without() -> None:
    for lesson in LESSONS:
        assert len(list(marked_terms(whole_text(lesson)))) >= 5, lesson.slug


def controls_named(lesson: Lesson, names: dict[str, str]) -> Counter[str]:
    """How often the lesson's file names each control, by its English name."""
    text = (OWN_LESSONS / lesson.file).read_text(encoding="utf-8")
    found: Counter[str] = Counter()
    for english, shown in names.items():
        before = r"(?<=\*, )" if english in IN_A_ROW else r"(?<!\*)"
        found[english] = len(re.findall(rf"{before}\*{{1,2}}{re.escape(shown)}\*{{1,2}}(?!\*)", text))
    return found


@pytest.mark.parametrize("language", TRANSLATED)
def test_a_translation_calls_controls_as_the_page_does(language: str) -> None:
    with speaking(language):
        shown = {name: _(name) for name in (*CONTROLS, *IN_A_ROW)}
    assert all(word != name for name, word in shown.items())
    found: Counter[str] = Counter()
    for mine, theirs in zip(own_course(language).lessons, LESSONS, strict=True):
        named = controls_named(theirs, {name: name for name in shown})
        assert controls_named(mine, shown) >= named, mine.file
        found += named
    assert found.keys() == shown.keys(), "a name that no lesson uses"


@pytest.mark.parametrize("language", ["en", *TRANSLATED])
def test_lessons_call_each_other_by_name_and_count_none(language: str) -> None:
    """A count such as "two lessons on" is wrong as soon as a lesson moves."""
    counted = {
        "en": r"\b(?:next|last|previous) lesson\b|\blessons (?:ago|on|back|later)\b",
        "de": r"\b(?:nächsten?|letzten?|vorigen?) Lektion\b|\bLektionen (?:weiter|zuvor|später)\b",
    }[language]
    named = {"en": r"\blessons? \*([^*]+)\*", "de": r"\bLektion(?:en)? \*([^*]+)\*"}[language]
    lessons = own_course(language).lessons
    titles = {lesson.title for lesson in lessons}
    for lesson in lessons:
        text = " ".join((OWN_LESSONS / lesson.file).read_text(encoding="utf-8").split())
        assert set(re.findall(named, text)) <= titles, lesson.file
        assert re.findall(counted, text) == [], lesson.file


@pytest.mark.parametrize("language", TRANSLATED)
def test_every_lesson_is_there_in_every_language_of_the_course(language: str) -> None:
    course = read_course(OWN_LESSONS, language)
    assert course.problems == ()
    assert {lesson.slug: lesson.language for lesson in course.lessons} == {
        lesson.slug: language for lesson in LESSONS
    }
    assert {term.language for term in course.glossary.values()} == {language}
    assert course.title != own_course().title
    assert all(course.reserved[slug] != title for slug, title in own_course().reserved.items())
    english = {track.id: track for track in own_course().tracks}
    for track in course.tracks:
        assert track.title != english[track.id].title
        assert track.aside != english[track.id].aside
