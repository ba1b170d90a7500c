"""`pvsim paper`: work sheets and their solutions, of exercises, a lesson or a scenario, as PDF or HTML."""

from __future__ import annotations

import os
from argparse import Namespace
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from pvsim.commands.hand_out import (
    check_students,
    class_list,
    language_of,
    made_folder,
    paper_form,
    read_secret,
    tell_letters_lost,
)
from pvsim.commands.output import check_output, put_out
from pvsim.commands.source import open_scenario
from pvsim.commands.text import plural
from pvsim.course.folder.course_folder import open_home
from pvsim.course.folder.course_reader import OWN_LESSONS, is_name, read_one
from pvsim.course.lesson.lesson import Lesson
from pvsim.course.problem import as_error
from pvsim.errors import FileError
from pvsim.exercise.case import ExerciseCase, seed_for
from pvsim.exercise.exercise_file import exercise_lessons
from pvsim.exercise.key import read_key
from pvsim.exercise.paper import (
    Document,
    Part,
    parts_of_case,
    parts_of_lesson,
    parts_of_scenario,
    solution_sheet,
    work_sheet,
    write_html,
    write_pdf,
)
from pvsim.files.provenance import one_line
from pvsim.files.source import shown
from pvsim.words import _, speaking


@dataclass(frozen=True, slots=True, kw_only=True)
class _Source:
    """What the sheets are made of: its title, and its parts for a student's case."""

    title: str
    parts: Callable[[ExerciseCase], Sequence[Part]]
    cases: bool = False


def run(options: Namespace) -> int:
    """Write a sheet, or one for each student of a class."""
    form = paper_form(options)
    check_students(options)
    language = language_of(options.language)
    secret = read_secret(options.secret)
    if not options.names:
        check_output(options.output)
    source = _source(options, language)
    if options.names or options.who or options.seed is not None or secret:
        _check_cases(options, source)
    if options.names:
        return _class(source, secret, language, form, options)
    who = one_line(options.who or "")
    seed = options.seed if options.seed is not None else seed_for(who, secret) if who else 0
    case = ExerciseCase(seed=seed, secret=secret)
    put_out(_written(source, case, who, language, form, options.solution), options.output)
    tell_letters_lost([who], form)
    return 0


def _check_cases(options: Namespace, source: _Source) -> None:
    """Names go on any sheet; numbers and secret words belong to exercises with new numbers."""
    if source.cases or (options.seed is None and options.secret is None):
        return
    raise FileError(
        f"{shown(options.source)} has the same numbers for everybody",
        expected="--seed and --secret with exercises that have new numbers",
        mend="Leave them out; --who and --class print names all the same",
    )


def _source(options: Namespace, language: str) -> _Source:
    folder = Path(options.lessons) if options.lessons else OWN_LESSONS
    name = options.source
    if is_name(name) and (folder / f"{name}.md").is_file():
        if options.place:
            raise FileError(
                "--place is given with a lesson",
                expected="--place with a scenario alone",
                mend="Leave it out: a lesson says itself what its axes are of",
            )
        lesson = _lesson(folder, name, language)
        if options.steps or name not in exercise_lessons(folder):
            with speaking(language):
                parts = parts_of_lesson(lesson, key=options.solution)
            return _Source(title=lesson.title, parts=lambda _case: parts)
        key = read_key(name, language, folder=folder)
        return _Source(title=lesson.title, parts=lambda case: parts_of_case(key.templates, case), cases=True)
    if options.steps:
        raise FileError(
            f"{shown(name)} is no lesson", expected="--steps with a lesson", mend="Leave --steps out"
        )
    scenario = open_scenario(name)
    place = None
    if options.place:
        from pvsim.array import check_place, parse_place

        place = parse_place(options.place)
        check_place(scenario, place)
    with speaking(language):
        found, title = parts_of_scenario(scenario, place), _(scenario.title)
    return _Source(title=title, parts=lambda _case: found)


def _lesson(folder: Path, slug: str, language: str) -> Lesson:
    lesson, problems = read_one(open_home(folder, language), slug)
    if lesson is None:
        raise as_error(problems[0], len(problems) - 1)
    return lesson


def _written(
    source: _Source, case: ExerciseCase, who: str, language: str, form: str, solution: bool
) -> bytes:
    make = solution_sheet if solution else work_sheet
    number = str(case.seed) if source.cases else ""
    with speaking(language):
        parts = source.parts(case)
        document: Document = make(parts, title=source.title, language=language, who=who, case=number)
        return write_pdf(document) if form == "pdf" else write_html(document).encode()


def _class(source: _Source, secret: str, language: str, form: str, options: Namespace) -> int:
    """A sheet for each name of a list, into a folder."""
    names = class_list(options.names)
    folder = made_folder(options.output)
    for name, file in names:
        case = ExerciseCase(seed=seed_for(name, secret) if source.cases else 0, secret=secret)
        data = _written(source, case, name, language, form, options.solution)
        put_out(data, os.fspath(folder / f"{file}.{form}"))
    print(f"{plural(len(names), 'sheet')} written to {folder}")
    tell_letters_lost([name for name, _file in names], form)
    return 0
