"""`pvsim check`: lessons, scenarios, studies and data sheets, each problem with its place and mend."""

from __future__ import annotations

import json
import os
from argparse import Namespace
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

from pvsim.commands.source import is_sheet, is_study, open_source
from pvsim.course.folder.course_check import check_course, check_course_file, check_lesson
from pvsim.course.folder.course_file import COURSE_FILE
from pvsim.course.folder.course_folder import open_home
from pvsim.course.folder.course_reader import (
    OWN_LESSONS,
    OWN_SCENARIOS,
    course_folders,
    course_of,
    find_scenario,
)
from pvsim.course.folder.search_set import SEARCHES_FILE
from pvsim.course.folder.unanswered import course_warnings, warnings_of
from pvsim.course.lesson.glossary import GLOSSARY_FILE
from pvsim.course.problem import Problem
from pvsim.errors import FileError, PvsimError, SheetError
from pvsim.exercise.exercise_file import EXERCISES, examine_exercises
from pvsim.exercise.idea_name import unmet_ideas
from pvsim.files.source import Source, parse_toml, read_source, shown
from pvsim.sheet.own import OWN_SHEETS
from pvsim.sheet.sheet_file import sheet_of
from pvsim.sheet.sheet_module import module_from_sheet
from pvsim.study.own import OWN_STUDIES
from pvsim.study.study_file import open_study

KINDS = (".md", ".toml", ".json")


def run(options: Namespace) -> int:
    """Check what is named, or all that comes with pvsim; 1 when something has to be mended."""
    problems: list[Problem] = []
    warnings: list[Problem] = []
    checked = 0
    for path in [Path(one) for one in options.paths] or [OWN_LESSONS, OWN_SCENARIOS, OWN_STUDIES, OWN_SHEETS]:
        count, found = check_path(path)
        checked += count
        problems += found
        warnings += warnings_at(path)
    if options.json:
        told = {"problems": problems, "warnings": warnings}
        lists = {name: [asdict(one) for one in some] for name, some in told.items()}
        print(json.dumps({"checked": checked, **lists}, indent=2))
    else:
        for problem in problems:
            print(problem)
        for warning in warnings:
            print(f"warning: {warning}")
        files = f"{checked} file{'' if checked == 1 else 's'}"
        verdict = f"{len(problems)} to mend" if problems else "all in order"
        more = f", {len(warnings)} warning{'' if len(warnings) == 1 else 's'}" if warnings else ""
        print(f"{files} checked, {verdict}{more}")
    return 1 if problems else 0


def check_path(path: Path) -> tuple[int, list[Problem]]:
    """Check a file, or the course and every scenario of a folder.

    Returns
    -------
    count : int
        Files looked at.
    problems : list of Problem
        What is wrong, `file` with its folder.

    Raises
    ------
    FileError
        If there is nothing to check at the path.
    """
    if not os.path.isdir(path):  # unlike a Path, says no to a name that no system has files with
        if not os.path.exists(path) or path.suffix not in KINDS:
            raise FileError(
                f"{shown(path)} is nothing that can be checked",
                expected="a lesson (.md), a scenario, study, data sheet or circuit (.toml, .json), or a "
                "folder with them",
                mend="Check its name and folder",
            )
        return 1, _check_file(path)
    course, language = course_of(path)
    files = sorted(one for one in path.iterdir() if one.suffix in KINDS)
    if not files:
        raise FileError(
            f"the folder {shown(path)} holds no lesson, no scenario and no study",
            expected="files that end with .md, .toml or .json",
            mend="Name the folder they lie in",
        )
    problems: list[Problem] = []
    if course is not None:
        found = check_course(course)
        found = [one for one in found if one.file.startswith(f"{language}/")] if language else found
        problems = [_placed(course, problem) for problem in found]
    for file in files:
        problems += [] if course is not None and _is_course_file(file) else _check_file(file)
    if course is None or language:
        return len(files), problems
    count, found = _check_exercises(course)
    return len(files) + _translations(course) + count, [*problems, *found]


def _check_exercises(course: Path) -> tuple[int, list[Problem]]:
    """Look at the exercises of a course, and at their texts in its other languages."""
    count = 0
    problems: list[Problem] = []
    for language in ("", *course_folders(course)):
        for file in sorted((course / language / EXERCISES).glob("*.toml")):
            count += 1
            original = course / EXERCISES / file.name
            belongs_to = original if language else course / f"{file.stem}.md"
            if not belongs_to.exists():
                missing = "are no exercises to translate" if language else "is no lesson of this name"
                wrong = f"there {missing}"
                expected, mend = f"a file {belongs_to.name} in the course", "Rename it, or take it away"
                problems += [Problem(file=str(file), line=0, wrong=wrong, expected=expected, mend=mend)]
                continue
            found = examine_exercises(original, course, language or "en")[1]
            mine = [one for one in found if not language or one.file.startswith(f"{language}/")]
            problems += [_placed(course, one) for one in mine]
    return count, problems


def warnings_at(path: Path) -> list[Problem]:
    """What the lessons at a path leave open; a warning is no mistake, and changes no exit code."""
    course, language = course_of(path if os.path.isdir(path) else path.parent)
    if course is None:
        if path.is_dir() or path.suffix != ".md":
            return []
        try:
            found = warnings_of(read_source(path).text, path.name, "en")
        except PvsimError:  # told as a problem
            return []
        return [_placed(path.parent, one) for one in found]
    found = [*course_warnings(course), *_unmet_ideas(course)]
    if not path.is_dir():
        name = f"{language}/{path.name}" if language else path.name
        found = [one for one in found if one.file == name]
    elif language:
        found = [one for one in found if one.file.startswith(f"{language}/")]
    return [_placed(course, one) for one in found]


def _unmet_ideas(course: Path) -> list[Problem]:
    try:
        return unmet_ideas(course, open_home(course).plan.order)
    except PvsimError:  # told as a problem
        return []


def _is_course_file(path: Path) -> bool:
    return path.suffix == ".md" or path.name in (COURSE_FILE, GLOSSARY_FILE, SEARCHES_FILE)


def _translations(course: Path) -> int:
    """How many files of a course lie in its folders of translations."""
    folders = [course / name for name in course_folders(course)]
    return sum(_is_course_file(file) for folder in folders for file in folder.iterdir())


def _check_file(path: Path) -> list[Problem]:
    try:
        if _is_course_file(path) and (found := check_course_file(path)) is not None:
            return [_placed(course_of(path.parent)[0] or path.parent, problem) for problem in found]
        if path.suffix == ".md":
            text = read_source(path).text
            found = check_lesson(text, path.name, lambda name: find_scenario(name, path.parent))
            return [_placed(path.parent, problem) for problem in found]
        if path.suffix == ".toml":
            source = read_source(path)
            values = parse_toml(source)
            if "exercise" in values:
                return _check_exercise_file(path)
            if is_sheet(values):
                _check_sheet(values, source)
                return []
            if is_study(values):
                open_study(path)
                return []
        open_source(str(path))
    except PvsimError as error:
        return [_problem(path, error)]
    return []


def _check_exercise_file(path: Path) -> list[Problem]:
    """Read exercises, or the texts of another language over theirs."""
    home = path.parent.parent
    course, language = course_of(home) if path.parent.name == EXERCISES else (None, "")
    original = course / EXERCISES / path.name if course is not None and language else path
    found = examine_exercises(original, course, language or "en")[1]
    if course is None:  # then the file itself is meant, wherever it lies
        return [replace(problem, file=str(path)) for problem in found]
    return [_placed(course, problem) for problem in found]


def _check_sheet(values: dict[str, Any], source: Source) -> None:
    """Read a data sheet and fit its cells."""
    file = sheet_of(values, source)
    try:
        module_from_sheet(file.sheet, file.assumed)
    except SheetError as error:
        wrong = f"{shown(source.name)}: {error.wrong}"
        raise FileError(wrong, expected=error.expected, mend=error.mend) from error


def _problem(path: Path, error: PvsimError) -> Problem:
    """Turn the error of a file into a problem; its message already starts with the file's name."""
    wrong, line = error.wrong, 0
    name = shown(path)
    if wrong.startswith(name):
        wrong = wrong[len(name) :].lstrip(" ,:")
        head, _, rest = wrong.partition(", ")
        if head.startswith("line ") and head[5:].isdigit():
            line, wrong = int(head[5:]), rest
    return Problem(file=str(path), line=line, wrong=wrong, expected=error.expected, mend=error.mend)


def _placed(folder: Path, problem: Problem) -> Problem:
    return Problem(
        file=str(folder / problem.file),
        line=problem.line,
        wrong=problem.wrong,
        expected=problem.expected,
        mend=problem.mend,
    )
