"""The lecture that somebody asks for on the contents page."""

from __future__ import annotations

from typing import Any

from pvsim.app.words import _
from pvsim.course.lecture.lecture import Lecture, lecture_of
from pvsim.course.lecture.lecture_file import read_lecture
from pvsim.course.lesson.lesson import Course

__all__ = ["lecture_wanted"]

LONGEST_NAME = 80  # characters of a file's name


def lecture_wanted(value: Any, course: Course) -> Lecture:
    """A lecture from a file, on one lesson, or on the whole course.

    Parameters
    ----------
    value : dict
        As it came from the browser: "text" and "name" of a file, or "lesson", the slug of one.

    Raises
    ------
    LessonError
        If the file is not in order, or there is no such lesson.
    """
    fields = value if isinstance(value, dict) else {}
    if "text" in fields:
        name = str(fields.get("name", ""))[:LONGEST_NAME] or _("the lecture file")
        return read_lecture(str(fields["text"]), name, course)
    return lecture_of(course, str(fields.get("lesson", "")))
