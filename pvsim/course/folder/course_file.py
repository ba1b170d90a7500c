"""The course file, course.toml: title, lessons in their order, reserved places, tracks."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType

from pvsim.course.lesson.track import Track, read_tracks, translated_tracks
from pvsim.course.table import Table
from pvsim.errors import nearest

COURSE_FILE = "course.toml"
MOST_LESSONS = 60

LANGUAGE = re.compile(r"[a-z]{2,3}(-[A-Za-z0-9]{2,8})?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """What a course file says.

    Parameters
    ----------
    title : str
    language : str
        Its lessons are written in.
    order : tuple of str
        Slugs, reserved ones too, each once.
    reserved : mapping of str to str
        Titles of lessons that have their place but no file yet, by slug.
    tracks : tuple of Track
    text : str
        The file itself, to find lines in.
    """

    title: str
    language: str = "en"
    order: tuple[str, ...] = ()
    reserved: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    tracks: tuple[Track, ...] = ()
    text: str = ""


def read_plan(top: Table) -> Plan:
    """Read a course file; problems go to its report."""
    title = top.text("title", longest=80)
    language = top.text("language", default="en", longest=12)
    if not LANGUAGE.fullmatch(language):
        top.refuse("language", f"'{language}' is no language", expected='its short name, such as "de"')
        language = "en"
    order = tuple(dict.fromkeys(top.texts("lessons", least=1, most=MOST_LESSONS)))[:MOST_LESSONS]
    reserved = _reserved(top)
    for slug in reserved:
        if slug not in order:
            top.report.add(
                ("reserved", slug),
                f"'{slug}' is reserved, but has no place",
                expected="its name among the lessons, where it belongs",
                mend=f'Add "{slug}" to the list of lessons',
            )
    tracks = read_tracks(top, order)
    top.close()
    return Plan(
        title=title or "Course",
        language=language,
        order=order,
        reserved=MappingProxyType(reserved),
        tracks=tracks,
        text=top.report.toml,
    )


def translated_plan(top: Table | None, plan: Plan) -> Plan:
    """The plan with the texts of a translated course file: titles and tracks."""
    if top is None:
        return plan
    title = top.text("title", longest=80)
    reserved = dict(plan.reserved)
    for slug, text in _reserved(top).items():
        if slug in reserved:
            reserved[slug] = text
        else:
            top.report.add(
                ("reserved", slug),
                f"'{slug}' is not reserved",
                expected="reserved names of the original",
                mend=nearest(slug, reserved, "Take it out"),
            )
    tracks = translated_tracks(top, plan.tracks)
    top.close()
    return replace(plan, title=title or plan.title, reserved=MappingProxyType(reserved), tracks=tracks)


def _reserved(top: Table) -> dict[str, str]:
    table = top.table("reserved")
    return {} if table is None else {slug: table.text(slug, longest=80) for slug in table.values}
