"""Lecture files: written by people, saved with their record, refused with line and mending."""

from __future__ import annotations

from dataclasses import fields, replace
from pathlib import Path

import pytest

from pvsim.course.folder.course_reader import own_course
from pvsim.course.lecture.class_answers import Round
from pvsim.course.lecture.lecture import Part, compose
from pvsim.course.lecture.lecture_file import LONGEST, examine_lecture, read_lecture, write_lecture
from pvsim.course.lecture.lecture_record import moment_of, note, podium_at, scenario_of_entry
from pvsim.course.lecture.lecture_state import Podium, ask_again, forward, reveal, standing_of, take, watch
from pvsim.course.lesson.lesson import Course
from pvsim.course.number.solved_scenario import solved
from pvsim.errors import FileError, LessonError
from tests.course.samples import lesson

COURSE = Course(title="Small", lessons=(lesson(),))
LESSON = COURSE.lessons[0]
STEP = LESSON.steps[0]

FILE = f"""# my own lecture
format = 1
title = "Tuesday"

[[part]]
lesson = "{LESSON.slug}"
steps = ["shade-one"]
minutes = 20
notes = "Ask the back row first."

[[part]]
lesson = "{LESSON.slug}"
poll = false
"""


def test_a_file_is_read_as_it_is_meant() -> None:
    lecture = read_lecture(FILE, "tuesday.toml", COURSE)
    assert lecture.title == "Tuesday"
    assert lecture.parts == (
        Part(lesson=LESSON.slug, steps=("shade-one",), minutes=20.0, notes="Ask the back row first."),
        Part(lesson=LESSON.slug, minutes=float(LESSON.minutes), poll=False),
    )
    assert lecture.minutes == 20 + LESSON.minutes
    assert lecture.played == ()


@pytest.mark.parametrize(
    ("old", "new", "line", "said"),
    [
        ('title = "Tuesday"\n', "", 1, "the lecture lacks 'title'"),
        ("minutes = 20", "minutes = 0", 8, "a number from 1 to 600"),
        ("minutes = 20", 'minutes = "20"', 8, "expected a number"),
        ("minutes = 20", "minuts = 20", 8, "Did you mean 'minutes'"),
        ('steps = ["shade-one"]', 'steps = ["shade-on"]', 7, "Did you mean 'shade-one'"),
        (f'lesson = "{LESSON.slug}"\npoll', 'lesson = "another"\npoll', 12, "there is no lesson 'another'"),
        ("poll = false", "poll = 0", 13, "expected true or false"),
        ("format = 1", "format = 2", 2, "a number from 1 to 1"),
    ],
)
def test_a_slip_is_told_with_its_line_and_its_mending(old: str, new: str, line: int, said: str) -> None:
    assert old in FILE
    lecture, problems = examine_lecture(FILE.replace(old, new), "tuesday.toml", COURSE)
    assert lecture is None
    assert [(one.line, said in str(one)) for one in problems] == [(line, True)], problems


def test_a_file_without_parts_says_how_to_write_one() -> None:
    with pytest.raises(LessonError, match=r"Write \[\[part\]\]"):
        read_lecture('format = 1\ntitle = "T"\n', "t.toml", COURSE)


@pytest.mark.parametrize("text", ["format = ", "[[part]\n", "x" * (LONGEST + 1)])
def test_what_is_no_lecture_file_at_all_is_refused(text: str) -> None:
    with pytest.raises(FileError):
        read_lecture(text, "t.toml", COURSE)


def held() -> Podium:
    """A lecture that was asked twice, acted and looked at; with its record."""
    part = Part(lesson=LESSON.slug, minutes=8.0)
    podium = Podium(lecture=compose("Tuesday", [part], COURSE))
    played = note((), moment_of(podium, STEP.start, 0.0))

    def go(later: Podium, scenario, seconds: float) -> Podium:
        nonlocal played
        played = note(played, moment_of(later, scenario, seconds))
        return later

    podium = go(forward(podium), STEP.start, 30.0)
    podium = go(take(podium, Round(hands=(5.5, 6.0), phones=(7.0,))), STEP.start, 60.0)
    podium = go(reveal(podium, COURSE), STEP.start, 70.0)
    podium = go(ask_again(podium, COURSE), STEP.start, 100.0)
    podium = go(take(podium, Round(hands=(80.0,))), STEP.start, 120.0)
    podium = go(forward(podium), STEP.start, 140.0)
    podium = go(watch(podium, COURSE, solved(STEP.finish)), STEP.finish, 150.0)
    podium = go(forward(podium), STEP.finish, 170.0)
    return replace(podium, lecture=replace(podium.lecture, played=played))


def test_a_held_lecture_reads_back_equal_with_all_that_happened() -> None:
    podium = held()
    text = write_lecture(podium.lecture, COURSE)
    again = read_lecture(text, "t.toml", COURSE)
    assert again == podium.lecture
    assert [one.seconds for one in again.played] == [0, 30, 60, 70, 100, 120, 140, 150, 170]
    assert text.count("scenario = ") == 2, "a scenario that stays is written once"


def test_a_broken_off_lecture_goes_on_where_it_was() -> None:
    podium = held()
    again = podium_at(podium.lecture, COURSE, len(podium.lecture.played))
    assert again == replace(podium, lecture=replace(podium.lecture, played=()))


def test_a_replay_shows_each_moment_as_it_was() -> None:
    lecture = held().lecture
    asked = podium_at(lecture, COURSE, 3)
    assert standing_of(asked).shown
    assert standing_of(asked).rounds == (Round(hands=(5.5, 6.0), phones=(7.0,)),)
    assert standing_of(asked).done is None
    assert scenario_of_entry(lecture.played[3]) == STEP.start
    assert standing_of(podium_at(lecture, COURSE, 7)).done == STEP.finish


def test_changes_that_follow_each_other_at_once_are_one_entry() -> None:
    part = Part(lesson=LESSON.slug, minutes=8.0)
    podium = forward(Podium(lecture=compose("T", [part], COURSE)))
    first = moment_of(podium, STEP.start, 10.0)
    fast = note(note((), first), moment_of(take(podium, Round(hands=(1.0,))), STEP.start, 11.0))
    assert len(fast) == 1
    assert fast[0].seconds == 10.0
    assert fast[0].rounds == (Round(hands=(1.0,)),)
    slow = note(fast, moment_of(take(podium, Round(hands=(1.0, 2.0))), STEP.start, 30.0))
    assert len(slow) == 2
    assert note(slow, replace(slow[-1], seconds=90.0)) == slow, "nothing happened"


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('moment = "ask"', 'moment = "asking"', "Did you mean 'ask'"),
        ('step = "shade-one"', 'step = "shade"', "has no cue 'ask' in a step 'shade'"),
        ("hands = [[5.5, 6]]", "hands = [[5.5, inf]]", "lists of numbers"),
        ("hands = [[5.5, 6]]", "hands = [5.5]", "lists of numbers"),
        ("seconds = 30.0", "seconds = -1", "a number from 0"),
        ("part = 1", "part = 2", "a number from 1 to 1"),
    ],
)
def test_a_record_that_does_not_fit_is_told(old: str, new: str, said: str) -> None:
    text = write_lecture(held().lecture, COURSE)
    assert old in text
    lecture, problems = examine_lecture(text.replace(old, new, 1), "t.toml", COURSE)
    assert lecture is None
    assert said in str(problems[0])


def test_a_tampered_scenario_in_a_record_is_not_shown() -> None:
    lecture = held().lecture
    entry = replace(lecture.played[0], scenario="1.AAAA")
    assert scenario_of_entry(entry) is None


GUIDE = (Path(__file__).parents[3] / "lessons" / "guide" / "lecture.md").read_text(encoding="utf-8")


def test_the_example_of_the_guide_is_in_order_and_its_table_names_every_key() -> None:
    example = GUIDE.split("```toml\n")[1].split("```")[0]
    lecture = read_lecture(example, "example.toml", own_course())
    assert [part.lesson for part in lecture.parts] == ["hungry-cell", "five-levels", "two-tops"]
    table = GUIDE.split("| `title` |")[1].split("\n\n")[0]
    assert all(f"`{one.name}`" in table for one in fields(Part))
