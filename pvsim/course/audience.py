"""For whom a text is written out: the language, the track, the terms that can be looked up."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from pvsim.course.glossary import Term
from pvsim.course.lesson import Course, Lesson
from pvsim.course.track import Track


@dataclass(frozen=True, slots=True, kw_only=True)
class Audience:
    """Who reads.

    Parameters
    ----------
    language : str
        Of the text: decimal mark and number words follow it.
    tracks : tuple of Track
        Whose asides are shown; those of another are left out.
    track : str
        Id of the one chosen: its asides stand open and those of the others are left out. Empty:
        each is there with its title, closed.
    glossary : mapping of str to Term
        Terms that the reader can press; others are shown as plain words.
    """

    language: str = "en"
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
