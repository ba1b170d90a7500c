"""The exercises of a whole course: which lessons have some, and which ask for an idea by its name."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, partial
from pathlib import Path
from typing import Any

from pvsim.course.folder.course_reader import OWN_LESSONS
from pvsim.course.lesson.lesson import Course
from pvsim.errors import PvsimError
from pvsim.exercise.exercise_file import exercise_lessons, own_exercises, read_exercises
from pvsim.exercise.idea_name import ideas_asked
from pvsim.exercise.template import Template

__all__ = ["Pool", "course_pool", "idea_ids", "ideas_named"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pool:
    """What a test of a course can be drawn from.

    Parameters
    ----------
    lessons : tuple of str
        Slugs of those that have exercises, in the order of the course.
    read : callable
        Slug -> the exercises of a lesson. They are read when they are asked for.
    names : callable
        Gives, for the name of each idea, the lessons whose exercises ask for it: all of them are looked
        through for it, so not before a test is drawn.
    """

    lessons: tuple[str, ...]
    read: Callable[[str], Sequence[Template]]
    names: Callable[[], Mapping[str, tuple[str, ...]]] = dict

    def asking(self, idea: str) -> tuple[str, ...]:
        """The lessons whose exercises ask for an idea by its name; none for one without a name."""
        return self.names().get(idea, ()) if idea else ()

    def find(self, name: str) -> Template | None:
        """An exercise by its id; None where there is none."""
        slug = name.partition("/")[0]
        found = self.read(slug) if slug in self.lessons else ()
        return next((one for one in found if one.id == name), None)


def course_pool(course: Course, folder: Path = OWN_LESSONS, *, forgiving: bool = False) -> Pool:
    """The exercises of a course, in its language.

    Parameters
    ----------
    course : Course
    folder : Path
        It lies in.
    forgiving : bool
        Whether exercises that are not in order are left out; reading them raises otherwise.

    Raises
    ------
    LessonError
        Of what is read later, unless `forgiving`; with file and line.
    """

    @cache
    def read(slug: str) -> Sequence[Template]:
        try:
            if folder == OWN_LESSONS:
                return own_exercises(slug, course.language)
            return read_exercises(folder, slug, course.language)
        except PvsimError:
            if not forgiving:
                raise
            return ()

    known = exercise_lessons(folder)
    lessons = tuple(one.slug for one in course.lessons if one.slug in known)
    # What comes along is looked through once for all pages.
    look = _own_names if folder == OWN_LESSONS else cache(_names)
    return Pool(lessons=lessons, read=read, names=partial(look, folder, lessons))


def _names(folder: Path, lessons: tuple[str, ...]) -> Mapping[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    for slug in lessons:
        for idea in ideas_asked(folder, slug):
            found[idea] = (*found.get(idea, ()), slug)
    return found


_own_names = cache(_names)


def ideas_named(template: Template) -> tuple[str, ...]:
    """The ideas that an exercise knows, in their order; empty for a right choice."""
    return _told(template.values, "idea")


def idea_ids(template: Template) -> tuple[str, ...]:
    """Their names, in the same order; empty where one has none."""
    return _told(template.values, "idea_id")


def _told(values: Mapping[str, Any], key: str) -> tuple[str, ...]:
    entries = values.get("choice") or values.get("mistake") or []
    listed = entries if isinstance(entries, list) else [entries]
    return tuple(str(one.get(key, "")) for one in listed if isinstance(one, dict))
