"""A course folder or lesson file as pages show it: what is wrong is left out, what is saved is read again."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from pvsim.app import open_course
from pvsim.app.open_course import OpenCourse
from pvsim.errors import FileError, LessonError
from tests.course.samples import LESSON, line_of, spoilt, write_course

BROKEN = spoilt("minutes = 8", "minutes = 0")
EASY = spoilt("tolerance = 10", "tolerance = 300")
NEEDY = spoilt('limits = ["All', 'needs = ["zero"]\nlimits = ["All')


@pytest.fixture
def hasty(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every look is a look, however soon after the last."""
    monkeypatch.setattr(open_course, "LOOK_ms", 0)


def save(path: Path, text: str) -> None:
    """Write a file later than it was written before, however coarse the clock of the disk."""
    before = path.stat().st_mtime_ns if path.exists() else 0
    path.write_text(text, encoding="utf-8")
    os.utime(path, ns=(before + 10**9, before + 10**9))


def slugs(course: OpenCourse) -> list[str]:
    return [lesson.slug for lesson in course.course("en").lessons]


@pytest.mark.parametrize(
    ("text", "line", "said"),
    [
        pytest.param(BROKEN, 5, "minutes", id="reads-badly"),
        pytest.param(EASY, line_of(LESSON, "[[step]]"), "counts as right", id="plays-badly"),
        pytest.param(NEEDY, 1, "'zero'", id="needs-what-is-not"),
        pytest.param("no lesson at all", 1, "+++", id="no-lesson"),
    ],
)
def test_a_lesson_with_any_mistake_is_refused_by_name_and_the_others_load(
    tmp_path: Path, text: str, line: int, said: str
) -> None:
    course = OpenCourse(write_course(tmp_path, one=LESSON, two=text, three=LESSON))
    assert slugs(course) == ["one", "three"]
    problem = course.course("en").problems[0]
    assert (problem.file, problem.line) == ("two.md", line)
    assert said in f"{problem.wrong} {problem.expected}"
    assert problem.mend


def test_a_lesson_that_stands_alone_needs_no_course(tmp_path: Path) -> None:
    (tmp_path / "leaf.md").write_text(LESSON, encoding="utf-8")
    course = OpenCourse(tmp_path / "leaf.md")
    assert slugs(course) == ["leaf"]
    assert course.slug == "leaf"
    assert course.course("en").title == "One shaded cell"


def test_a_lesson_that_its_course_does_not_name_yet_is_shown_with_what_the_course_has(tmp_path: Path) -> None:
    write_course(tmp_path, one=LESSON)
    (tmp_path / "two.md").write_text(LESSON, encoding="utf-8")
    course = OpenCourse(tmp_path / "two.md")
    assert slugs(course) == ["two"]
    assert course.course("en").title == "Trial"
    assert course.course("en").problems == ()


@pytest.mark.parametrize("name", ["nothing.md", "nowhere", "notes.txt"])
def test_what_is_neither_a_lesson_nor_a_folder_is_refused(tmp_path: Path, name: str) -> None:
    (tmp_path / "notes.txt").write_text("x", encoding="utf-8")
    with pytest.raises(FileError, match="neither a lesson nor a folder"):
        OpenCourse(tmp_path / name)


def test_a_folder_without_a_course_file_is_told_how_to_get_one(tmp_path: Path) -> None:
    with pytest.raises(LessonError, match=r"Write course\.toml"):
        OpenCourse(tmp_path)


def test_a_saved_file_is_read_again_once_it_has_come_to_rest(tmp_path: Path, hasty: None) -> None:
    course = OpenCourse(write_course(tmp_path, one=LESSON), live=True)
    assert not course.look()
    save(tmp_path / "one.md", LESSON.replace("What does one shaded cell cost?", "What does a leaf cost?"))
    assert not course.look(), "it may still be being written"
    assert course.look()
    assert course.course("en").lessons[0].question == "What does a leaf cost?"
    assert course.revision == 1
    assert not course.look()
    assert course.revision == 1


def test_looks_that_follow_each_other_too_soon_do_not_count(tmp_path: Path) -> None:
    course = OpenCourse(write_course(tmp_path, one=LESSON), live=True)
    course.look()
    save(tmp_path / "one.md", BROKEN)
    assert not any(course.look() for _ in range(5))


def test_what_was_in_order_last_stays_beside_its_problem(tmp_path: Path, hasty: None) -> None:
    course = OpenCourse(write_course(tmp_path, one=LESSON, two=BROKEN), live=True)
    save(tmp_path / "one.md", spoilt('answer = "-delta[1/1].power_W"', 'answer = "-delta[1/1].powr_W"'))
    course.look()
    assert course.look()
    assert slugs(course) == ["one"], "the other one has never been in order"
    assert {problem.file for problem in course.course("en").problems} == {"one.md", "two.md"}
    save(tmp_path / "one.md", LESSON)
    save(tmp_path / "two.md", LESSON)
    course.look()
    assert course.look()
    assert slugs(course) == ["one", "two"]
    assert course.course("en").problems == ()


def test_a_course_file_that_cannot_be_read_takes_no_lesson_away(tmp_path: Path, hasty: None) -> None:
    course = OpenCourse(write_course(tmp_path, one=LESSON), live=True)
    save(tmp_path / "course.toml", 'title = "Trial"\nlessons = ["one" "two"]\n')
    course.look()
    assert course.look()
    assert slugs(course) == ["one"]
    (problem,) = course.course("en").problems
    assert (problem.file, problem.line) == ("course.toml", 2)
    assert "line" not in problem.wrong  # said beside it


def test_a_lesson_taken_out_of_the_course_is_gone_and_a_new_one_comes(tmp_path: Path, hasty: None) -> None:
    course = OpenCourse(write_course(tmp_path, one=LESSON, two=LESSON), live=True)
    (tmp_path / "one.md").unlink()
    save(tmp_path / "three.md", LESSON)
    save(tmp_path / "course.toml", 'title = "Trial"\nlessons = ["two", "three"]\n')
    course.look()
    assert course.look()
    assert slugs(course) == ["two", "three"]


def test_a_scenario_beside_the_lesson_is_watched_too(tmp_path: Path, hasty: None) -> None:
    from pvsim.files.demo import read_demo
    from pvsim.files.scenario_file import write_scenario

    own = write_scenario(read_demo("single-module"))
    (tmp_path / "single-module.toml").write_text(own, encoding="utf-8")
    course = OpenCourse(write_course(tmp_path, one=LESSON), live=True)
    save(tmp_path / "single-module.toml", own.replace("One module on the bench", "My own bench"))
    course.look()
    assert course.look()
    assert course.course("en").lessons[0].steps[0].start.title == "My own bench"


def test_a_folder_that_is_not_live_is_read_once(tmp_path: Path, hasty: None) -> None:
    course = OpenCourse(write_course(tmp_path, one=LESSON))
    save(tmp_path / "one.md", BROKEN)
    assert not any(course.look() for _ in range(3))
    assert slugs(course) == ["one"]


def test_a_folder_that_goes_away_leaves_what_was_read(tmp_path: Path, hasty: None) -> None:
    folder = tmp_path / "lessons"
    folder.mkdir()
    course = OpenCourse(write_course(folder, one=LESSON), live=True)
    folder.rename(tmp_path / "elsewhere")
    course.look()
    course.look()
    assert slugs(course) == ["one"]
    assert course.course("en").problems
