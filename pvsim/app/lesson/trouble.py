"""What the lesson region says of files that are not in order, as plain values."""

from __future__ import annotations

from itertools import groupby
from pathlib import PurePath
from typing import Any

from pvsim.app.words import _, ngettext
from pvsim.course.lesson.lesson import Course
from pvsim.course.problem import Problem

__all__ = ["said_of_reading", "trouble_in"]

MOST_PROBLEMS = 12  # of one file; one slip early in a file can make many more


def trouble_in(course: Course, slug: str | None = None) -> list[dict[str, Any]]:
    """The files of a course that are not in order, each with its problems and how to mend them.

    Parameters
    ----------
    slug : str or None
        Of a lesson: only its own files and those that all lessons share.
    """
    lessons = {lesson.slug: lesson for lesson in course.lessons}
    found = [one for one in course.problems if slug is None or _concerns(one, slug)]
    return [
        {
            "file": file,
            "title": _title(file, PurePath(file).stem in lessons).format(file=file),
            "problems": [_shown(problem) for problem in problems[:MOST_PROBLEMS]],
            "more": _more(len(problems) - MOST_PROBLEMS),
        }
        for file, problems in (
            (file, list(group)) for file, group in groupby(_by_file(found), key=lambda one: one.file)
        )
    ]


def said_of_reading(course: Course, slug: str) -> str:
    """What is said when files have been read again while this lesson, or none (""), is open."""
    count = sum(1 for one in course.problems if not slug or _concerns(one, slug))
    if not count:
        return _("Read again; all is in order.")
    return ngettext("Read again: {n} problem.", "Read again: {n} problems.", count).format(n=count)


def _by_file(problems: list[Problem]) -> list[Problem]:
    return sorted(problems, key=lambda one: (one.file, one.line))


def _concerns(problem: Problem, slug: str) -> bool:
    path = PurePath(problem.file)
    return path.suffix != ".md" or path.stem == slug


def _title(file: str, shown: bool) -> str:
    if PurePath(file).suffix != ".md":
        return _("{file} is not in order.")
    if shown and "/" in file:
        return _("{file} is not in order. The lesson is shown as it was, or untranslated.")
    if shown:
        return _("{file} is not in order. The lesson is shown as it was before.")
    return _("{file} is not in order. The lesson is left out until it is mended.")


def _shown(problem: Problem) -> dict[str, str]:
    """A problem; what is wrong and how to mend it is said in the language of the files, English."""
    return {
        "where": _("line {n}").format(n=problem.line) if problem.line else "",
        "wrong": problem.wrong,
        "expected": problem.expected,
        "mend": problem.mend if problem.mend.endswith(("?", ".")) else f"{problem.mend}.",
    }


def _more(count: int) -> str:
    if count <= 0:
        return ""
    return ngettext("and {n} more", "and {n} more", count).format(n=count)
