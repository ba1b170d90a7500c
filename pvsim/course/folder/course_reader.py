"""Reads a course: a folder with course.toml, one file for each lesson, and scenarios beside them.

    course.toml  glossary.toml  one-cell.md  workshop.toml      the course, in the language it is written in
    de/course.toml  de/glossary.toml  de/one-cell.md            its texts in another language
"""

from __future__ import annotations

import re
from functools import lru_cache
from pathlib import Path

from pvsim.array.scenario import Scenario
from pvsim.course.folder.course_file import COURSE_FILE, LANGUAGE
from pvsim.course.folder.course_folder import Home, open_home, read_text, text_of
from pvsim.course.folder.search_set import SEARCHES_FILE
from pvsim.course.lesson.glossary import GLOSSARY_FILE
from pvsim.course.lesson.lesson import Course, Lesson
from pvsim.course.lesson.reader import examine_lesson, examine_translation
from pvsim.course.problem import Problem
from pvsim.course.table import Report
from pvsim.errors import LessonError, nearest
from pvsim.files.scenario_file import read_scenario
from pvsim.shipped import shipped

OWN_LESSONS = shipped("lessons")
OWN_SCENARIOS = shipped("scenarios")

_NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
LONGEST_NAME = 80  # characters; no system has files with much longer ones


def is_name(name: str) -> bool:
    """Whether a lesson or scenario can have that name; asked before any file is looked for."""
    return len(name) <= LONGEST_NAME and _NAME.fullmatch(name) is not None


def read_course(folder: Path | str = OWN_LESSONS, language: str = "en") -> Course:
    """Read the course in a folder; lessons that are not in order are left out.

    Parameters
    ----------
    folder : path
        Holds course.toml, which names the lessons in their order.
    language : str
        A lesson without a translation into it, or with one that is not in order, is there in
        the language that the course is written in.

    Returns
    -------
    Course
        `problems` says, by file and line, what keeps each missing lesson out.

    Raises
    ------
    LessonError
        If there is no course file, or it cannot be read at all.
    """
    home = open_home(folder, language)
    plan = home.plan
    problems = list(home.problems)
    lessons: list[Lesson] = []
    for slug in plan.order:
        lesson, found = _lesson(home, slug)
        problems += found
        if lesson is not None:
            lessons.append(lesson)
    known = {lesson.slug for lesson in lessons}
    for lesson in lessons:
        problems += _unknown_needs(lesson, plan.order, known)
    problems += _strays(home)
    return Course(
        title=plan.title,
        lessons=tuple(lessons),
        problems=tuple(problems),
        language=home.language,
        order=plan.order,
        reserved=plan.reserved,
        tracks=plan.tracks,
        glossary=home.glossary,
        searches=home.searches,
    )


def own_course(language: str = "en") -> Course:
    """The course that comes with pvsim, read once in each language."""
    return _own_course(language)


@lru_cache(maxsize=8)
def _own_course(language: str) -> Course:  # asked without a language it is the same as in English
    return read_course(OWN_LESSONS, language)


def course_languages(folder: Path | str) -> tuple[str, ...]:
    """The languages of a course: the one it is written in, then those it has translations for."""
    folder = Path(folder)
    home = open_home(folder)
    return (home.plan.language, *course_folders(folder))


def course_of(folder: Path) -> tuple[Path | None, str]:
    """The course that a folder is, or holds a translation of; and the language of that, or ""."""
    if (folder.parent / COURSE_FILE).exists() and LANGUAGE.fullmatch(folder.name):
        return folder.parent, folder.name
    return (folder, "") if (folder / COURSE_FILE).exists() else (None, "")


def read_one(home: Home, slug: str) -> tuple[Lesson | None, tuple[Problem, ...]]:
    """One lesson of a course in the language of its home, and what is wrong with it.

    A translation that is not in order is told, and the lesson is there as it was written.
    """
    path = home.folder / f"{slug}.md"
    text, problems = text_of(path, path.name)
    if text is None:
        return None, problems

    def find(name: str) -> Scenario:
        return find_scenario(name, home.folder)

    lesson, problems = examine_lesson(text, path.name, find, home.known, home.plan.language)
    if lesson is None or not _translated(home, slug):
        return lesson, problems
    file = f"{home.language}/{slug}.md"
    over, problems = text_of(home.folder / file, file)
    if over is None:
        return lesson, problems
    translation, problems = examine_translation(over, file, text, find, home.known, home.language)
    return translation or lesson, problems


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
    others = (COURSE_FILE, GLOSSARY_FILE, SEARCHES_FILE)
    for home in homes if is_name(name) else ():
        path = home / f"{name}.toml"
        if path.name not in others and path.exists():
            return read_scenario(read_text(path), path.name)
    known = [path.stem for home in homes for path in home.glob("*.toml") if path.name not in others]
    raise LessonError(
        f"there is no scenario '{name[:60]}'",
        expected="the name of a scenario file beside this one, without .toml, or of one of pvsim's own",
        mend=nearest(name[:60], known),
    )


def _lesson(home: Home, slug: str) -> tuple[Lesson | None, tuple[Problem, ...]]:
    """The lesson of a name in course.toml, which may be reserved or lead nowhere."""
    there = is_name(slug) and (home.folder / f"{slug}.md").exists()
    if slug in home.plan.reserved:
        if not there:
            return None, ()
        report = Report(file=COURSE_FILE, toml=home.plan.text)
        report.add(
            ("reserved", slug),
            f"'{slug}' is reserved, and has a file",
            expected="reserved places for lessons that are not written yet",
            mend="Take it out of [reserved]",
        )
        lesson, problems = read_one(home, slug)
        return lesson, (*report.problems, *problems)
    if there:
        return read_one(home, slug)
    found = [one.stem for one in home.folder.glob("*.md")]
    report = Report(file=COURSE_FILE, toml=home.plan.text)
    report.add(
        ("lessons",),
        f"there is no lesson '{slug[:60]}'",
        expected="the name of a lesson file in this folder, without .md",
        mend=nearest(slug[:60], found) if found else "Write the file or take the name out",
    )
    return None, tuple(report.problems)


def _strays(home: Home) -> list[Problem]:
    """Lesson files that are in no course, and translations of nothing."""
    problems = [
        Problem(
            file=path.name,
            line=0,
            wrong=f"'{path.stem}' is not in {COURSE_FILE}",
            expected="every lesson of the folder in the course",
            mend=f'Add "{path.stem}" to its list of lessons, where it belongs',
        )
        for path in sorted(home.folder.glob("*.md"))
        if path.stem not in home.plan.order
    ]
    if home.language in course_folders(home.folder):
        problems += [
            Problem(
                file=f"{home.language}/{path.name}",
                line=0,
                wrong=f"there is no lesson '{path.stem}' to translate",
                expected="the name of a lesson file in the folder above",
                mend=nearest(path.stem, home.plan.order),
            )
            for path in sorted((home.folder / home.language).glob("*.md"))
            if not (home.folder / path.name).exists()
        ]
    return problems


def course_folders(folder: Path) -> tuple[str, ...]:
    """Names of the folders of translations within a course folder."""
    return tuple(
        sorted(
            path.name
            for path in folder.iterdir()
            if LANGUAGE.fullmatch(path.name)
            and path.is_dir()
            and (any(path.glob("*.md")) or (path / COURSE_FILE).exists() or (path / GLOSSARY_FILE).exists())
        )
    )


def _translated(home: Home, slug: str) -> bool:
    return (
        home.language != home.plan.language
        and LANGUAGE.fullmatch(home.language) is not None
        and (home.folder / home.language / f"{slug}.md").exists()
    )


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
