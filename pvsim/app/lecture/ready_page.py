"""The sheet before a lecture begins, as plain values: its plan, its keys."""

from __future__ import annotations

from pvsim.app.lecture.hall import Page
from pvsim.app.lecture.words import lecture_keys
from pvsim.app.words import _, ngettext
from pvsim.course.lecture.lecture import Lecture, find_lesson
from pvsim.course.lesson.lesson import Course
from pvsim.numbers import format_setting

__all__ = ["ready_page"]


def ready_page(lecture: Lecture, course: Course, *, keys: bool, network: bool) -> Page:
    """The sheet before a lecture begins.

    Parameters
    ----------
    network : bool
        Whether phones could reach this page.
    """
    parts = []
    for part in lecture.parts:
        lesson = find_lesson(course, part.lesson)
        titles = [step.title for step in lesson.steps if not part.steps or step.id in part.steps]
        minutes = _("{n} min").format(n=format_setting(part.minutes))
        parts.append({"title": lesson.title, "steps": titles, "minutes": minutes})
    return {
        "kind": "ready",
        "layout": "text",
        "key": "ready",
        "title": lecture.title,
        "minutes": ngettext("{n} minute planned", "{n} minutes planned", round(lecture.minutes)).format(
            n=format_setting(lecture.minutes)
        ),
        "parts": parts,
        "keys_list": [[marks, meaning] for _act, marks, _name, meaning in lecture_keys()],
        "letters": keys,
        "played": bool(lecture.played),
        "phones": _("Phones of the class can join: press O once the lecture has begun.")
        if network
        else _("For answers from phones start pvsim with --network. Counting hands needs nothing."),
    }
