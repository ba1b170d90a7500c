"""Somebody's own course, as the pages of a server show it: read once, or whenever it changes."""

from __future__ import annotations

import os
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from pvsim.course.folder.course_check import course_problem, sound_course, sound_lesson
from pvsim.course.folder.course_reader import course_folders, course_of, own_course
from pvsim.course.lesson.lesson import Course
from pvsim.errors import FileError, PvsimError
from pvsim.files.source import shown

__all__ = ["LOOK_ms", "OpenCourse", "course_in"]

LOOK_ms = 250  # a change is read once two looks in a row find the same: editors save in several steps
KINDS = (".md", ".toml")

Stamp = tuple[tuple[str, int, int], ...]


class OpenCourse:
    """A course folder, or one lesson file.

    Parameters
    ----------
    path : Path
        A folder with course.toml, or a lesson (.md), within a course or alone.
    live : bool
        Read it again when a file in it changes.

    Raises
    ------
    FileError
        If there is nothing of the kind.
    LessonError
        If course.toml cannot be read at all.
    """

    def __init__(self, path: Path, *, live: bool = False) -> None:
        is_folder = os.path.isdir(path)  # unlike a Path, says no to a name that no system has files with
        if not is_folder and (path.suffix != ".md" or not os.path.exists(path)):
            raise FileError(
                f"{shown(path)} is neither a lesson nor a folder with lessons",
                expected="a lesson file (.md), or a folder with course.toml and lesson files",
                mend="Check its name and folder",
            )
        self.live = live
        self.revision = 0  # rises with each reading
        folder = path if is_folder else path.parent
        course, translation = course_of(folder)
        self._folder = course or folder
        self.slug = "" if is_folder else path.stem  # of the one lesson that is shown
        self.translation = translation if course else ""  # that the path leads to
        self._courses: dict[str, Course] = {}
        self._read_stamp = self._last_stamp = self._stamp() if live else ()
        self._looked_s = 0.0
        self.course("en")

    @property
    def folder(self) -> Path:
        """Where its lessons lie, and beside them their exercises."""
        return self._folder

    def course(self, language: str) -> Course:
        """The course in a language, without the lessons that are not in order.

        One that was in order earlier is still there as it was then; `problems` names it all the same.
        """
        if language not in self._courses:
            self._courses[language] = self._read(language)
        return self._courses[language]

    def look(self) -> bool:
        """Look for changed files, at most every LOOK_ms; whether the course was read again."""
        now_s = time.monotonic()
        if not self.live or now_s - self._looked_s < 0.8e-3 * LOOK_ms:
            return False
        self._looked_s = now_s
        stamp = self._stamp()
        settled = stamp == self._last_stamp
        self._last_stamp = stamp
        if not settled or stamp == self._read_stamp:
            return False
        self._read_stamp = stamp
        self._courses = {language: self._read(language) for language in self._courses}
        self.revision += 1
        return True

    def _read(self, language: str) -> Course:
        last = self._courses.get(language) or next(iter(self._courses.values()), None)
        try:
            if self.slug:
                course = sound_lesson(self._folder, self.slug, language)
            else:
                course = sound_course(self._folder, language)
        except PvsimError as error:
            if last is None:
                raise
            return replace(last, problems=(course_problem(error),))
        return course if last is None else _with_last_good(course, last)

    def _stamp(self) -> Stamp:
        return tuple(sorted(self._stamps()))

    def _stamps(self) -> Iterator[tuple[str, int, int]]:
        try:
            folders = [self._folder / name for name in course_folders(self._folder)]
        except OSError:  # gone for a moment, or for good: what was read stays
            return
        for folder in (self._folder, *folders):
            for suffix in KINDS:
                for path in folder.glob(f"*{suffix}"):
                    try:
                        about = path.stat()
                    except OSError:
                        continue
                    yield (str(path), about.st_mtime_ns, about.st_size)


def course_in(source: Course | OpenCourse | None, language: str) -> Course:
    """A course as it is now; an open one in a language, and pvsim's own where there is no other."""
    if isinstance(source, OpenCourse):
        return source.course(language)
    return source or own_course(language)


def _with_last_good(course: Course, last: Course) -> Course:
    """The course with what was in order before in place of what is not any more."""
    now = {lesson.slug: lesson for lesson in course.lessons}
    before = {lesson.slug: lesson for lesson in last.lessons}
    wrong = {Path(problem.file).stem for problem in course.problems}
    chosen = [now.get(slug) or (before.get(slug) if slug in wrong else None) for slug in course.order]
    return replace(course, lessons=tuple(lesson for lesson in chosen if lesson is not None))
