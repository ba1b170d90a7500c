"""Tracks through a course: whom its asides are for, and in which order they take the lessons."""

from __future__ import annotations

import re
from dataclasses import dataclass

from pvsim.course.table import Report, Table
from pvsim.errors import nearest

MOST_TRACKS = 4

_ID = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


@dataclass(frozen=True, slots=True, kw_only=True)
class Track:
    """Whom some of the text is for.

    Parameters
    ----------
    id : str
        As asides name it.
    title, lead : str
        What the learner chooses by.
    aside : str
        Title of its asides, such as "On the roof".
    lessons : tuple of str
        Its order, by slug; empty for the course's.
    """

    id: str
    title: str
    lead: str
    aside: str
    lessons: tuple[str, ...] = ()


def read_tracks(top: Table, slugs: tuple[str, ...]) -> tuple[Track, ...]:
    """The tracks of a course file; problems go to its report.

    Parameters
    ----------
    top : Table
        The course file.
    slugs : tuple of str
        The lessons of the course, which a track may put in another order.
    """
    tables = top.tables("tracks")
    if len(tables) > MOST_TRACKS:
        top.refuse("tracks", f"there are {len(tables)} tracks", expected=f"at most {MOST_TRACKS}")
    found: list[Track] = []
    for table in tables[:MOST_TRACKS]:
        name = table.text("id", longest=40)
        if name and not _ID.fullmatch(name):
            table.refuse("id", f"'{name}' is no id", expected="small letters, digits and hyphens")
        if name in [track.id for track in found]:
            table.refuse("id", f"the track '{name}' is there twice", expected="an id of its own for each")
        title = table.text("title", longest=40)
        lead = table.text("lead", longest=200)
        aside = table.text("aside", default=title, longest=40)
        found.append(
            Track(id=name, title=title, lead=lead, aside=aside, lessons=_order(table, slugs))
        )
        table.close()
    return tuple(found)


def _order(table: Table, slugs: tuple[str, ...]) -> tuple[str, ...]:
    order = table.texts("lessons", most=len(slugs))
    for slug in order:
        if slug not in slugs:
            table.refuse(
                "lessons",
                f"the course has no lesson '{slug}'",
                expected="lessons of this course",
                mend=nearest(slug, slugs),
            )
        elif order.count(slug) > 1:
            table.refuse("lessons", f"'{slug}' is there twice", expected="each lesson once")
            break
    return order


def translated_tracks(top: Table, tracks: tuple[Track, ...]) -> tuple[Track, ...]:
    """The tracks with the texts of a translated course file."""
    tables = top.tables("tracks")
    ids = [str(table.values.get("id", "")) for table in tables]
    if ids != [track.id for track in tracks]:
        refuse_order(top.report, ("tracks",), ids, [track.id for track in tracks])
        return tracks
    found = []
    for table, track in zip(tables, tracks, strict=True):
        table.text("id")
        title = table.text("title", longest=40)
        lead = table.text("lead", longest=200)
        aside = table.text("aside", default=title, longest=40)
        table.close()
        found.append(Track(id=track.id, title=title, lead=lead, aside=aside, lessons=track.lessons))
    return tuple(found)


def refuse_order(report: Report, path: tuple[str, ...], found: list[str], wanted: list[str]) -> None:
    """Note that tables of a translation are not those of the original, in their order."""
    report.add(
        path,
        f"the ids of [[{path[-1]}]] are {', '.join(found) or 'not there'}",
        expected="those of the original in their order: " + (", ".join(wanted) or "none"),
        mend="Take them over as they are; only texts are translated",
    )
