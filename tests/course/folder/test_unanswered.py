"""`pvsim check` warns of comparisons that nothing bears out; the own lessons leave none open."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

from pvsim.course.folder.course_check import check_course
from pvsim.course.folder.course_reader import OWN_LESSONS, own_course
from pvsim.course.folder.unanswered import course_warnings, lesson_warnings, warnings_of
from pvsim.course.text.warrant import parse_warrant, warrants_in
from tests.course.samples import (
    GERMAN,
    LESSON,
    MARKED,
    change,
    line_of,
    spoilt,
    write_course,
    write_whole_course,
)

FILES = [
    pytest.param(slug, inside, language, id=f"{language}/{slug}")
    for slug in (lesson.slug for lesson in own_course().lessons)
    for inside, language in (("", "en"), ("de", "de"))
]


@pytest.mark.parametrize(("slug", "inside", "language"), FILES)
def test_the_own_lessons_leave_no_comparison_open(slug: str, inside: str, language: str) -> None:
    assert [str(one) for one in lesson_warnings(OWN_LESSONS, slug, inside, language)] == []


def test_a_place_named_behind_a_comparison_is_there() -> None:
    """Where a lesson names a test, the test exists."""
    texts = [path for path in OWN_LESSONS.rglob("*.md") if path.parent.name != "guide"]
    assert texts
    for path in texts:
        for _, inside in warrants_in(path.read_text(encoding="utf-8")):
            found = re.fullmatch(r"(tests/\S+\.py): (\w+)", parse_warrant(inside).where)
            if found:
                tree = ast.parse((OWN_LESSONS.parent / found[1]).read_text(encoding="utf-8"))
                names = {node.name for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)}
                assert f"test_{found[2]}" in names, (path.name, inside)


def test_a_warning_names_the_words_and_the_line_and_keeps_nothing_out(tmp_path: Path) -> None:
    text = spoilt("What do the diodes do?", "Nobody knows more.\n\nWhat do the diodes do?")
    (warning,) = warnings_of(text, "sample.md", "en")
    assert warning.wrong == "'Nobody' stands beside no computed number"
    assert warning.line == line_of(text, "Nobody knows")
    folder = write_course(tmp_path, sample=text)
    assert check_course(folder) == []
    assert course_warnings(folder) == [warning]


def test_feedback_is_read_and_wrong_choices_are_not() -> None:
    assert warnings_of(spoilt('"All of it goes."', '"Twice of it goes."'), "sample.md", "en") == []
    text = spoilt("Look at the junction box.", "It is the best.")
    (warning,) = warnings_of(text, "sample.md", "en")
    assert warning.line == line_of(text, 'feedback = "It is the best."')


def test_a_right_choice_is_read_unless_the_solver_is_asked() -> None:
    asked = spoilt('"Half of the power goes."', '"Half as much goes."')
    assert warnings_of(asked, "sample.md", "en") == []
    alone = asked.replace('when = "now[array].power_W < 0.55 * before[array].power_W"\n', "")
    assert [one.line for one in warnings_of(alone, "sample.md", "en")] == [line_of(alone, 'text = "Half as')]


def test_limits_are_read_and_told_to_do_without() -> None:
    (warning,) = warnings_of(spoilt('"All cells are equal."', '"Real ones are hotter."'), "sample.md", "en")
    assert warning.mend.startswith("Say it without")


def test_a_translation_is_read_with_the_words_of_its_language(tmp_path: Path) -> None:
    german = change(GERMAN, "Nachmessen.", "Niemand misst nach.")
    folder = write_whole_course(tmp_path, lesson=MARKED, german=german)
    (warning,) = course_warnings(folder)
    assert (warning.file, warning.line) == ("de/sample.md", line_of(german, "Niemand"))


def test_what_is_not_in_order_is_not_warned_of(tmp_path: Path) -> None:
    assert warnings_of("Nobody.", "sample.md", "en") == []
    folder = write_course(tmp_path, sample=LESSON)
    (folder / "sample.md").unlink()
    assert course_warnings(folder) == []
    (folder / "course.toml").write_text('title = "x"\nlessons = ["../sample"]\n', encoding="utf-8")
    assert course_warnings(folder) == []
