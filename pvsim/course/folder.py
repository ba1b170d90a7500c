"""Reads a course: a folder with course.toml, one file for each lesson, and scenarios beside them."""

from __future__ import annotations

import re
import tomllib
from functools import lru_cache
from pathlib import Path

from pvsim.array.scenario import Scenario
from pvsim.course.lesson import Course, Lesson
from pvsim.course.problem import Problem
from pvsim.course.reader import examine_lesson
from pvsim.course.table import Report, Table
from pvsim.errors import FileError, LessonError, nearest
from pvsim.files.scenario_file import read_scenario
from pvsim.files.source import read_source

COURSE_FILE = "course.toml"
OWN_LESSONS = Path(__file__).parents[1] / "lessons"
OWN_SCENARIOS = Path(__file__).parents[1] / "scenarios"
MOST_LESSONS = 60

_NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


def read_course(folder: Path | str = OWN_LESSONS) -> Course:
    """Read the course in a folder; lessons that are not in order are left out.

    Parameters
    ----------
    folder : path
        Holds course.toml, which names the lessons in their order.

    Returns
    -------
    Course
        `problems` says, by file and line, what keeps each missing lesson out.

    Raises
    ------
    LessonError
        If there is no course file, or it cannot be read at all.
    """
    folder = Path(folder)
    report = Report(file=COURSE_FILE)
    top = _course_table(folder, report)
    title = top.text("title", longest=80)
    slugs = top.texts("lessons", least=1, most=MOST_LESSONS)
    top.close()
    problems = list(report.problems)
    lessons: list[Lesson] = []
    for slug in dict.fromkeys(slugs):
        lesson, found = _lesson(folder, slug, report)
        problems += found
        if lesson is not None:
            lessons.append(lesson)
    known = {lesson.slug for lesson in lessons}
    for lesson in lessons:
        problems += _unknown_needs(lesson, slugs, known)
    for path in sorted(folder.glob("*.md")):
        if path.stem not in slugs:
            problems.append(
                Problem(
                    file=path.name,
                    line=0,
                    wrong=f"'{path.stem}' is not in {COURSE_FILE}",
                    expected="every lesson of the folder in the course",
                    mend=f'Add "{path.stem}" to its list of lessons, where it belongs',
                )
            )
    return Course(title=title or "Course", lessons=tuple(lessons), problems=tuple(problems))


@lru_cache(maxsize=1)
def own_course() -> Course:
    """The course that comes with pvsim, read once."""
    return read_course(OWN_LESSONS)


def find_scenario(name: str, folder: Path | None) -> Scenario:
    """The scenario of a name: from a file in the folder, if there is one, or one that comes with pvsim.

    Raises
    ------
    LessonError
        If there is none of that name.
    FileError
        If its file is not in order.
    """
    homes = (OWN_SCENARIOS,) if folder is None else (folder, OWN_SCENARIOS)
    for home in homes:
        path = home / f"{name}.toml"
        if _NAME.fullmatch(name) and path.name != COURSE_FILE and path.exists():
            return read_scenario(_text(path), path.name)
    known = [path.stem for home in homes for path in home.glob("*.toml") if path.name != COURSE_FILE]
    raise LessonError(
        f"there is no scenario '{name[:60]}'",
        expected="the name of a scenario file beside this one, without .toml, or of one of pvsim's own",
        mend=nearest(name[:60], known),
    )


def _lesson(folder: Path, slug: str, report: Report) -> tuple[Lesson | None, tuple[Problem, ...]]:
    path = folder / f"{slug}.md"
    if not _NAME.fullmatch(slug) or not path.exists():
        found = [one.stem for one in folder.glob("*.md")]
        missing = Report(file=COURSE_FILE, toml=report.toml)
        missing.add(
            ("lessons",),
            f"there is no lesson '{slug[:60]}'",
            expected="the name of a lesson file in this folder, without .md",
            mend=nearest(slug[:60], found) if found else "Write the file or take the name out",
        )
        return None, tuple(missing.problems)
    try:
        text = _text(path)
    except FileError as error:
        return None, (
            Problem(file=path.name, line=0, wrong=error.wrong, expected=error.expected, mend=error.mend),
        )
    return examine_lesson(text, path.name, lambda name: find_scenario(name, folder))


def _course_table(folder: Path, report: Report) -> Table:
    path = folder / COURSE_FILE
    if not path.exists():
        raise LessonError(
            f"'{folder}' holds no {COURSE_FILE}",
            expected=f"a folder with {COURSE_FILE} and lesson files",
            mend=f'Write {COURSE_FILE} with the lines title = "..." and lessons = ["...", "..."]',
        )
    report.toml = _text(path)
    try:
        values = tomllib.loads(report.toml)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise LessonError(
            f"{COURSE_FILE} is not TOML: {error}",
            expected='lines such as lessons = ["one-cell", "cell-to-array"]',
            mend="Look for a missing quote, comma or bracket",
        ) from None
    return Table(values, (), report)


def _unknown_needs(lesson: Lesson, slugs: tuple[str, ...], known: set[str]) -> list[Problem]:
    return [
        Problem(
            file=lesson.file,
            line=1,
            wrong=f"the lesson needs '{need}', which the course does not have",
            expected="lessons of this course",
            mend=nearest(need, known | set(slugs)),
        )
        for need in lesson.needs
        if need not in slugs
    ]


def _text(path: Path) -> str:
    return read_source(path, path.name).text
