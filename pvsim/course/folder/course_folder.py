"""A course folder in one language, before its lessons are read: course.toml, glossary, their translations."""

from __future__ import annotations

import os
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from pvsim.course.folder.course_file import COURSE_FILE, LANGUAGE, Plan, read_plan, translated_plan
from pvsim.course.folder.search_set import SEARCHES_FILE, read_searches
from pvsim.course.lesson.glossary import GLOSSARY_FILE, Term, read_glossary, translated_glossary
from pvsim.course.lesson.step_search import SetSearch
from pvsim.course.problem import Problem, as_error
from pvsim.course.table import Enough, Report, Table
from pvsim.course.text.references import Known
from pvsim.errors import FileError, LessonError
from pvsim.files.source import read_source
from pvsim.files.toml import Slip, read_toml


@dataclass(frozen=True, slots=True, kw_only=True)
class Home:
    """A course folder in one language, before its lessons are read.

    Parameters
    ----------
    folder : Path
    language : str
        That was asked for.
    plan : Plan
        What course.toml says, in that language as far as it is translated.
    glossary : mapping of str to Term
    known : Known
        What its lessons may refer to.
    problems : tuple of Problem
        With course.toml, the glossary and their translations, and with the searches.
    searches : tuple of SetSearch
        That the course gives as practice.
    """

    folder: Path
    language: str
    plan: Plan
    glossary: dict[str, Term]
    known: Known
    problems: tuple[Problem, ...]
    searches: tuple[SetSearch, ...] = ()


def open_home(folder: Path | str, language: str = "en") -> Home:
    """Read course.toml and the glossary of a folder, in a language as far as it goes.

    Raises
    ------
    LessonError
        If there is no course file, or it cannot be read at all.
    """
    folder = Path(folder)
    report = Report(file=COURSE_FILE)
    try:
        plan = read_plan(_course_table(folder, report))
    except Enough:
        raise as_error(report.problems[0], len(report.problems) - 1) from None
    problems = list(report.problems)
    glossary, found = _glossary(folder, plan.language)
    problems += found
    searches, found = _searches(folder)
    problems += found
    there = folder / language
    if language != plan.language and LANGUAGE.fullmatch(language) and there.is_dir():
        if (there / COURSE_FILE).exists():
            report = Report(file=f"{language}/{COURSE_FILE}")
            with suppress(Enough):
                plan = translated_plan(_table(there / COURSE_FILE, report), plan)
            problems += report.problems
        if (there / GLOSSARY_FILE).exists():
            report = Report(file=f"{language}/{GLOSSARY_FILE}")
            with suppress(Enough):
                table = _table(there / GLOSSARY_FILE, report)
                glossary = dict(translated_glossary(table, glossary, language))
            problems += report.problems
    return Home(
        folder=folder,
        language=language,
        plan=plan,
        glossary=glossary,
        known=Known(
            tracks=tuple(track.id for track in plan.tracks),
            terms={name: term.term for name, term in glossary.items()},
        ),
        problems=tuple(problems),
        searches=searches,
    )


def text_of(path: Path, file: str) -> tuple[str | None, tuple[Problem, ...]]:
    """What stands in a file, or why it cannot be read."""
    try:
        return read_text(path), ()
    except FileError as error:
        problem = Problem(file=file, line=0, wrong=error.wrong, expected=error.expected, mend=error.mend)
        return None, (problem,)


def read_text(path: Path) -> str:
    """What stands in a file of a course.

    Raises
    ------
    FileError
        If it cannot be read as a text of a usual length.
    """
    return read_source(path, path.name).text


def _course_table(folder: Path, report: Report) -> Table:
    path = folder / COURSE_FILE
    if not os.path.exists(path):
        raise LessonError(
            f"'{folder}' holds no {COURSE_FILE}",
            expected=f"a folder with {COURSE_FILE} and lesson files",
            mend=f'Write {COURSE_FILE} with the lines title = "..." and lessons = ["...", "..."]',
        )
    report.toml = read_text(path)
    values = read_toml(report.toml)
    if isinstance(values, Slip):
        report.refuse_toml(values)
        raise as_error(report.problems[0])
    return Table(values, (), report)


def _glossary(folder: Path, language: str) -> tuple[dict[str, Term], list[Problem]]:
    report = Report(file=GLOSSARY_FILE)
    found: dict[str, Term] = {}
    with suppress(Enough):
        table = _table(folder / GLOSSARY_FILE, report) if (folder / GLOSSARY_FILE).exists() else None
        found = {} if table is None else dict(read_glossary(table, language))
    return found, report.problems


def _searches(folder: Path) -> tuple[tuple[SetSearch, ...], list[Problem]]:
    report = Report(file=SEARCHES_FILE, whole="the file")
    found: tuple[SetSearch, ...] = ()
    with suppress(Enough):
        table = _table(folder / SEARCHES_FILE, report) if (folder / SEARCHES_FILE).exists() else None
        found = () if table is None else read_searches(table)
    return found, report.problems


def _table(path: Path, report: Report) -> Table | None:
    """A TOML file of a course; None, and a problem, when it is none."""
    text, problems = text_of(path, report.file)
    report.problems += problems
    if text is None:
        return None
    report.toml = text
    values = read_toml(text)
    if isinstance(values, Slip):
        report.refuse_toml(values)
        return None
    return Table(values, (), report)
