"""What the lesson region shows outside a lesson, as plain values: the contents, and the glossary."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from typing import Any

from pvsim.app.lesson.page import Page, step_state
from pvsim.app.lesson.trouble import trouble_in
from pvsim.app.words import _, ngettext
from pvsim.course.lesson.audience import slugs_in_order
from pvsim.course.lesson.glossary import Term
from pvsim.course.lesson.lesson import Course, Lesson
from pvsim.course.lesson.render import render_words
from pvsim.course.play.player import Progress, step_of

__all__ = ["contents_page", "glossary_page", "shown_terms"]


def contents_page(
    course: Course,
    progresses: Mapping[str, Progress],
    at: str = "",
    wrong: Mapping[str, str] | None = None,
    track: str = "",
) -> Page:
    """The list of lessons, those that could not be read, and where the learner left.

    Parameters
    ----------
    at : str
        Slug of the lesson opened last.
    wrong : mapping of str to str
        By "take" and "lecture", why a file cannot be taken as a workbook, or as a lecture.
    track : str
        Id of the one that the learner has chosen.
    """
    return {
        "go_on": _go_on(course, progresses, at),
        "wrong": (wrong or {}).get("take", ""),
        "lecture": {
            "wrong": (wrong or {}).get("lecture", ""),
            "lessons": [["", _("The whole course")], *([one.slug, one.title] for one in course.lessons)],
        },
        "begun": bool(progresses or track),
        "kind": "contents",
        "key": "contents",
        "title": course.title,
        "lead": _("Predict, act, observe, explain. Choose a lesson, or use the bench on your own."),
        "tracks": _tracks(course, track),
        "lessons": _entries(course, progresses, track),
        "glossary": ngettext("{n} term and its meaning", "{n} terms and what they mean", len(course.glossary))
        .format(n=len(course.glossary))
        if course.glossary
        else "",
        "search": _("One fault, hidden in an array. Find it with instruments."),
        "trouble": trouble_in(course),
    }


def glossary_page(course: Course) -> Page:
    """Every term of the course with its meaning, in the order of the alphabet."""
    terms = sorted(course.glossary.values(), key=_sort_key)
    return {
        "kind": "glossary",
        "key": "glossary",
        "title": _("Glossary"),
        "lead": _("In a lesson, press a term with a dotted line below it to read what it means."),
        "terms": [
            shown_terms(course)[term.id]
            | {
                "id": term.id,
                "source": term.source,
                "see": [
                    {"id": other, "html": render_words(course.glossary[other].term)}
                    for other in term.see
                    if other in course.glossary
                ],
            }
            for term in terms
        ],
    }


def shown_terms(course: Course) -> dict[str, dict[str, str]]:
    """The terms of a course by id, as the page shows one beside the text."""
    return {
        name: {
            "term": render_words(term.term),
            "meaning": render_words(term.meaning),
            "language": "" if term.language == course.language else term.language,
        }
        for name, term in course.glossary.items()
    }


def _sort_key(term: Term) -> str:
    """Umlauts and accents stand with their letters."""
    plain = unicodedata.normalize("NFD", term.term.casefold())
    return "".join(sign for sign in plain if sign.isalnum() or sign == " ")


def _tracks(course: Course, track: str) -> Page | None:
    """What the learner can be, or None when the course has one text for all."""
    if not course.tracks:
        return None
    options = [{"id": one.id, "title": one.title, "lead": one.lead} for one in course.tracks]
    anybody = {
        "id": "",
        "title": _("Both") if len(options) == 2 else _("All"),
        "lead": _("What is meant for only one of them stays folded, to be opened as you like."),
    }
    known = any(one.id == track for one in course.tracks)
    return {
        "title": _("Reading as"),
        "options": [*options, anybody],
        "chosen": track if known else "",
    }


def _entries(course: Course, progresses: Mapping[str, Progress], track: str) -> list[Page]:
    """The lessons in the order of the track, and the places kept for those to come."""
    by_slug = {lesson.slug: lesson for lesson in course.lessons}
    entries: list[Page] = []
    number = 0
    for slug in slugs_in_order(course, track):
        if slug in by_slug:
            number += 1
            lesson = by_slug[slug]
            entries.append(
                {
                    "slug": slug,
                    "number": str(number),
                    "title": lesson.title,
                    "question": lesson.question,
                    "minutes": _("{n} min").format(n=lesson.minutes),
                    "language": "" if lesson.language == course.language else lesson.language,
                    "untranslated": _untranslated(course, lesson),
                    "state": _lesson_state(lesson, progresses.get(slug)),
                }
            )
        elif slug in course.reserved:
            entries.append({"slug": "", "title": course.reserved[slug], "note": _("still to be written")})
        else:
            entries.append({"slug": "", "title": slug, "note": _("left out: not in order"), "refused": True})
    return entries


def _untranslated(course: Course, lesson: Lesson) -> str:
    """What to say of a lesson that is there in another language than the one asked for."""
    if lesson.language == course.language:
        return ""
    names = {"en": _("in English"), "de": _("in German")}
    return names.get(lesson.language, _("not translated"))


def _go_on(course: Course, progresses: Mapping[str, Progress], at: str) -> Page | None:
    """Where to go on, unless nothing was begun or that lesson is done."""
    lesson = next((one for one in course.lessons if one.slug == at), None)
    progress = progresses.get(at)
    if lesson is None or progress is None or _lesson_state(lesson, progress)["name"] == "done":
        return None
    step = step_of(lesson, progress)
    return {"title": lesson.title, "step": step.title if step is not None else ""}


def _lesson_state(lesson: Lesson, progress: Progress | None) -> dict[str, Any]:
    states = (
        [step_state(step, mark) for step, mark in zip(lesson.steps, progress.marks, strict=True)]
        if progress
        else []
    )
    done = states.count("done")
    if states and done == len(states):
        return {"name": "done", "text": _("done")}
    if any(state != "new" for state in states):
        return {"name": "begun", "text": _("{n} of {m} steps").format(n=done, m=len(lesson.steps))}
    return {"name": "new", "text": ""}
