"""For whom a text is written out: the language, the track, the terms that can be looked up."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from pvsim.course.lesson.glossary import Term
from pvsim.course.lesson.lesson import Course, Lesson
from pvsim.course.lesson.track import Track


@dataclass(frozen=True, slots=True, kw_only=True)
class Audience:
    """Who reads.

    Parameters
    ----------
    language : str
        Of the text: numbers, and what figures say, follow it. Empty: the one spoken now.
    tracks : tuple of Track
        Whose asides are shown; those of another are left out.
    track : str
        Id of the one chosen: its asides stand open and those of the others are left out. Empty:
        each is there with its title, closed.
    glossary : mapping of str to Term
        Terms that the reader can press; others are shown as plain words.
    """

    language: str = ""
    tracks: tuple[Track, ...] = ()
    track: str = ""
    glossary: Mapping[str, Term] = field(default_factory=lambda: MappingProxyType({}))


ANYBODY = Audience()


def audience_of(course: Course, lesson: Lesson, track: str = "") -> Audience:
    """Who reads a lesson of a course on a track; a track that the course does not have is none."""
    known = any(one.id == track for one in course.tracks)
    return Audience(
        language=lesson.language,
        tracks=course.tracks,
        track=track if known else "",
        glossary=course.glossary,
    )


def chosen_asides(audience: Audience) -> tuple[Track, ...]:
    """The tracks whose asides an audience gets to see."""
    return tuple(track for track in audience.tracks if audience.track in ("", track.id))


def slugs_in_order(course: Course, track: str = "") -> tuple[str, ...]:
    """Every place of a course in the order of a track; what the track does not name comes after."""
    first = next((one.lessons for one in course.tracks if one.id == track), ())
    every = course.order or tuple(lesson.slug for lesson in course.lessons)
    return (*first, *(slug for slug in every if slug not in first))


def lessons_in_order(course: Course, track: str = "") -> tuple[Lesson, ...]:
    """The lessons of a course in the order of a track."""
    by_slug = {lesson.slug: lesson for lesson in course.lessons}
    return tuple(by_slug[slug] for slug in slugs_in_order(course, track) if slug in by_slug)
