"""Names of ideas are read from files alone, and a name that no lesson has is told with its line."""

from __future__ import annotations

import pytest

from pvsim.commands.check import warnings_at
from pvsim.course.folder.course_reader import OWN_LESSONS
from pvsim.exercise.idea_name import ideas_asked, ideas_met_in, unmet_ideas
from tests.course.samples import LESSON, line_of, problems, spoilt, write_course

EXERCISE = """format = 1
lesson = "sample"

[[exercise]]
id = "one"
scenario = "single-module"
change = [{ shade = ["1/1/14"], transmission = 0.2 }]
stem = "**By how much does its power fall?**"
answer = "-delta[1/1].power_W"
unit = "W"
tolerance = 5

[[exercise.mistake]]
value = "0"
idea = "it does not fall"
idea_id = "a-cell-is-nothing"
feedback = "Look again."
"""
IDEA = 'idea = "a sixtieth of the area"\n'


@pytest.fixture
def folder(tmp_path):
    folder = write_course(tmp_path, sample=LESSON.replace(IDEA, f'{IDEA}idea_id = "one-cell"\n'))
    (folder / "exercises").mkdir()
    (folder / "exercises" / "sample.toml").write_text(EXERCISE, encoding="utf-8")
    return folder


def test_a_name_that_no_lesson_has_is_told_with_its_line_and_the_names_there_are(folder):
    assert (ideas_met_in(folder, "sample"), ideas_asked(folder, "sample")) == (
        ("one-cell",),
        ("a-cell-is-nothing",),
    )
    (found,) = unmet_ideas(folder, ["sample"])
    assert "'a-cell-is-nothing'" in found.wrong
    assert (found.file, found.line) == ("exercises/sample.toml", line_of(EXERCISE, "idea_id"))
    assert str(found) in "\n".join(str(one).removeprefix(f"{folder}/") for one in warnings_at(folder))
    path = folder / "exercises" / "sample.toml"
    path.write_text(EXERCISE.replace("a-cell-is-nothing", "one-cell"), encoding="utf-8")
    assert unmet_ideas(folder, ["sample"]) == []


def test_files_that_cannot_be_read_name_no_ideas(folder):
    (folder / "exercises" / "sample.toml").write_text("[[exercise", encoding="utf-8")
    (folder / "sample.md").write_text("+++\nnothing", encoding="utf-8")
    assert (ideas_asked(folder, "sample"), ideas_met_in(folder, "sample")) == ((), ())
    assert (ideas_asked(folder, "nowhere"), ideas_met_in(folder, "nowhere")) == ((), ())
    assert unmet_ideas(folder, ["sample"]) == []


def test_a_name_is_of_small_letters_digits_and_hyphens():
    (found,) = problems(spoilt(IDEA, f'{IDEA}idea_id = "One Cell"\n'))
    assert "'One Cell' names no idea" in found.wrong
    assert problems(spoilt(IDEA, f'{IDEA}idea_id = "one-cell"\n')) == ()


def test_the_own_exercises_name_no_idea_that_no_lesson_has():
    lessons = [path.stem for path in OWN_LESSONS.glob("*.md")]
    assert unmet_ideas(OWN_LESSONS, lessons) == []
