"""The key of a lesson: its exercises and its own questions, from which the items of a case are made."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

from pvsim.course.folder.course_folder import open_home
from pvsim.course.folder.course_reader import OWN_LESSONS, is_name, read_course, read_one
from pvsim.course.problem import as_error
from pvsim.errors import LessonError, nearest
from pvsim.exercise.asked import lesson_items
from pvsim.exercise.case import ExerciseCase
from pvsim.exercise.exercise_file import (
    FRESH,
    examine_exercises,
    exercise_lessons,
    own_exercises,
    read_exercises,
)
from pvsim.exercise.item import Item
from pvsim.exercise.template import Template, make_item
from pvsim.prompt import summary

__all__ = ["Key", "is_fresh", "items_of", "read_key"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """What answers to a lesson are held against.

    Parameters
    ----------
    lesson, language : str
    templates : tuple of Template
        Exercises with new numbers.
    own : tuple of Item
        The lesson's own questions, the same for everybody; none where nobody asked for them.
    """

    lesson: str
    language: str
    templates: tuple[Template, ...] = ()
    own: tuple[Item, ...] = field(default=())

    __repr__ = summary


def read_key(
    lesson: str,
    language: str = "en",
    *,
    folder: Path = OWN_LESSONS,
    file: Path | None = None,
    fresh: bool = True,
    own: bool = False,
) -> Key:
    """Read the key of a lesson.

    Parameters
    ----------
    lesson : str
        Its slug.
    language : str
        Of texts, as far as they are translated.
    folder : Path
        Of the course.
    file : Path, optional
        Exercises in place of those in the folder, such as corrected ones.
    fresh, own : bool
        Whether exercises with new numbers, and the lesson's own questions, are wanted.

    Raises
    ------
    LessonError
        If the lesson has none, or they are not in order.
    """
    templates: tuple[Template, ...] = ()
    if fresh and file is not None:
        templates, problems = examine_exercises(file, folder, language, lesson=lesson)
        if problems:
            raise as_error(problems[0], len(problems) - 1)
    elif fresh:
        there = folder == OWN_LESSONS and lesson in exercise_lessons()
        templates = own_exercises(lesson, language) if there else read_exercises(folder, lesson, language)
    return Key(
        lesson=lesson,
        language=language,
        templates=templates,
        own=_own(lesson, language, folder) if own else (),
    )


def _own(slug: str, language: str, folder: Path) -> tuple[Item, ...]:
    home = open_home(folder, language)
    if not is_name(slug) or slug not in home.plan.order or not (folder / f"{slug}.md").exists():
        known = [one.slug for one in read_course(folder, language).lessons]
        raise LessonError(
            f"there is no lesson '{slug[:60]}'",
            expected="one of " + ", ".join(known),
            mend=nearest(slug[:60], known),
        )
    lesson, problems = read_one(home, slug)
    if lesson is None:
        raise as_error(problems[0], len(problems) - 1)
    return lesson_items(lesson)


def items_of(key: Key, case: ExerciseCase, only: Iterable[str] | None = None) -> dict[str, Item]:
    """The items of a case by id, exercises with new numbers first.

    Parameters
    ----------
    only : iterable of str, optional
        Ids of those that are wanted; others are not solved.

    Raises
    ------
    LessonError
        If what is drawn makes no exercise of one.
    """
    wanted = None if only is None else set(only)
    made = [make_item(one, case) for one in key.templates if wanted is None or one.id in wanted]
    return {one.id: one for one in [*made, *key.own] if wanted is None or one.id in wanted}


def is_fresh(item: str) -> bool:
    """Whether an id is that of an exercise with new numbers."""
    return f"/{FRESH}/" in item
