"""Where a learner is in a course and what they have done, without a page."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")

from pvsim.app.lesson.learner import GLOSSARY, Learner
from pvsim.course.folder.course_reader import own_course, read_course
from pvsim.course.lesson.lesson import ChoiceQuestion, Lesson, Step
from pvsim.course.play import player
from tests.course.samples import LESSON, write_course

COURSE = own_course()


def of(slug: str) -> Lesson:
    return next(one for one in COURSE.lessons if one.slug == slug)


def answer(step: Step | None) -> object:
    assert step is not None
    return 0 if isinstance(step.predict, ChoiceQuestion) else "3"


def predicted(slug: str, page: int) -> Learner:
    """Somebody who has stored a prediction in the step of a page."""
    learner = Learner(COURSE)
    learner.open(of(slug), page)
    learner.set(player.predict(of(slug), learner.progress, answer(learner.step)))
    return learner


def test_a_learner_begins_at_the_contents() -> None:
    learner = Learner(COURSE)
    assert (learner.lesson, learner.step, learner.page, learner.address) == (None, None, 0, "")
    assert learner.wanted == ()
    learner.close(glossary=True)
    assert learner.address == GLOSSARY


def test_a_lesson_opens_where_it_was_left() -> None:
    learner = predicted("one-cell", 2)
    learner.close()
    assert (learner.lesson, learner.at) == (None, "one-cell")
    learner.open(of("one-cell"))
    assert learner.address == "one-cell/2"
    assert learner.mark.prediction is not None
    learner.turn(999)
    assert learner.page == len(of("one-cell").steps) + 1


def test_pages_that_want_the_same_bench_say_so() -> None:
    learner = predicted("one-cell", 1)
    wanted = learner.wanted
    learner.set(replace(learner.progress))
    assert learner.wanted == wanted
    learner.turn(2)
    assert learner.wanted != wanted


def test_the_page_somebody_is_on_stays_when_other_work_comes_in() -> None:
    here, other = Learner(COURSE), predicted("one-cell", 3)
    here.open(of("one-cell"), 1)
    assert here.join(other.workbook), "the open lesson has to be set up anew"
    assert here.page == 1
    assert here.progress.marks[2].prediction is not None
    assert not here.join(Learner(COURSE).workbook)
    elsewhere = Learner(COURSE)
    assert not elsewhere.join(other.workbook)
    assert elsewhere.at == "one-cell"


def test_what_is_forgotten_is_to_be_written_too() -> None:
    learner = predicted("one-cell", 1)
    learner.close()
    learner.unwritten = False
    learner.forget()
    assert learner.unwritten
    assert (learner.progresses, learner.at, learner.track) == ({}, "", "")


def test_no_track_that_the_course_lacks_is_chosen() -> None:
    learner = Learner(COURSE)
    learner.choose_track("astronaut")
    assert learner.track == ""
    learner.choose_track(COURSE.tracks[0].id)
    assert learner.track == COURSE.tracks[0].id
    learner.choose_track("")
    assert learner.track == ""


def test_another_reading_of_the_course_keeps_step_and_work(tmp_path: Path) -> None:
    course = read_course(write_course(tmp_path, one=LESSON))
    learner = Learner(course)
    lesson = course.lessons[0]
    learner.open(lesson, 2)
    learner.set(player.predict(lesson, learner.progress, answer(learner.step)))
    step = learner.step
    assert step is not None
    new = replace(lesson, steps=(replace(lesson.steps[0], id="before"), *lesson.steps))
    learner.renew(replace(course, lessons=(new, *course.lessons[1:])))
    assert learner.step is not None
    assert learner.step.id == step.id
    assert learner.page == 3
    assert learner.mark.prediction is not None
    learner.renew(replace(course, lessons=()))
    assert learner.lesson is None
