"""Lecture files: TOML that a lecturer writes, and that a lecture is saved to once it was held."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from typing import Any

import pvsim
from pvsim.course.lecture.class_answers import MOST_NUMBERS, Round
from pvsim.course.lecture.lecture import (
    MOMENTS,
    MOST_PARTS,
    Cue,
    Lecture,
    Part,
    Played,
    compose,
    find_lesson,
    step_of_cue,
    usual_minutes,
)
from pvsim.course.lecture.lecture_record import MOST_PLAYED
from pvsim.course.lecture.lecture_state import MOST_ROUNDS
from pvsim.course.lesson.lesson import Course
from pvsim.course.problem import Problem, as_error
from pvsim.course.table import Enough, Report, Table
from pvsim.errors import FileError, PvsimError
from pvsim.files.source import Source, parse_toml
from pvsim.files.toml_text import write_toml

FORMAT = 1
LONGEST = 1_000_000  # characters; an hour with its record has a tenth
MOST_MINUTES = 600
_NOT_KEPT = "not kept"  # in place of a scenario that was too large for a link


def read_lecture(text: str, file: str, course: Course) -> Lecture:
    """Read one lecture file.

    Parameters
    ----------
    text : str
        What stands in it; it is not trusted.
    file : str
        Its name, for messages.
    course : Course
        Whose lessons it names.

    Raises
    ------
    LessonError
        With file and line of the first problem and the number of further ones.
    FileError
        If it is no TOML at all.
    """
    lecture, problems = examine_lecture(text, file, course)
    if lecture is None:
        raise as_error(problems[0], len(problems) - 1)
    return lecture


def examine_lecture(text: str, file: str, course: Course) -> tuple[Lecture | None, tuple[Problem, ...]]:
    """Read one lecture file and say everything that is wrong with it.

    Returns
    -------
    lecture : Lecture or None
        None when there is a problem.
    problems : tuple of Problem
        In the order of their lines.

    Raises
    ------
    FileError
        If it is no TOML at all, or far too long.
    """
    if len(text) > LONGEST:
        raise FileError(
            f"the lecture file has {len(text):,} characters",
            expected=f"at most {LONGEST:,}",
            mend="Choose a file that pvsim saved, or take the record of earlier lectures out",
        )
    report = Report(file=file, toml=text, whole="the lecture")
    top = Table(parse_toml(Source(name=file, text=text)), (), report)
    lecture = None
    with suppress(Enough):
        lecture = _lecture(top, course)
        top.close()
    problems = tuple(sorted(report.problems, key=lambda one: one.line))
    return (None if problems else lecture), problems


def lecture_file_name(lecture: Lecture) -> str:
    """What the file of a lecture is called."""
    name = "".join(one if one.isalnum() else "-" for one in lecture.title.lower()).strip("-") or "lecture"
    return f"{name[:60]}.toml"


def write_lecture(lecture: Lecture, course: Course) -> str:
    """The lecture as the text of its file.

    Returns
    -------
    str
        `read_lecture` gives an equal lecture back.
    """
    parts: list[dict[str, Any]] = []
    for part in lecture.parts:
        entry: dict[str, Any] = {"lesson": part.lesson}
        if part.steps:
            entry["steps"] = list(part.steps)
        entry["minutes"] = int(part.minutes) if part.minutes == int(part.minutes) else part.minutes
        if part.notes:
            entry["notes"] = part.notes
        if not part.poll:
            entry["poll"] = False
        parts.append(entry)
    text = write_toml(
        {"format": FORMAT, "title": lecture.title}, comment=f"A lecture for pvsim {pvsim.__version__}"
    )
    # Each table apart, however short it is: people write in them.
    for name, entries in (("part", parts), ("played", _written(lecture, course))):
        text += "".join(f"\n[[{name}]]\n{write_toml(entry)}" for entry in entries)
    return text


def _written(lecture: Lecture, course: Course) -> list[dict[str, Any]]:
    entries = []
    before = ""
    for one in lecture.played:
        entry: dict[str, Any] = {"seconds": one.seconds, "part": one.cue.part + 1, "moment": one.cue.moment}
        step = step_of_cue(find_lesson(course, one.cue.lesson), one.cue)
        if step is not None:
            entry["step"] = step.id
        if one.scenario != before:  # left out while it stays
            before = one.scenario
            entry["scenario"] = before or _NOT_KEPT
        for name in ("hands", "phones"):
            rounds = [[_plain(value) for value in getattr(each, name)] for each in one.rounds]
            if any(rounds):
                entry[name] = rounds
        if len(one.rounds) > 1:
            entry["rounds"] = len(one.rounds)
        entry |= {name: True for name in ("shown", "seen", "waived") if getattr(one, name)}
        entries.append(entry)
    return entries


def _plain(value: float) -> float:
    return int(value) if value == int(value) else value


def _lecture(top: Table, course: Course) -> Lecture | None:
    top.number("format", least=FORMAT, most=FORMAT)
    title = top.text("title", longest=80)
    tables = top.tables("part")
    if not 1 <= len(tables) <= MOST_PARTS:
        top.refuse(
            "part",
            f"the lecture has {len(tables)} parts",
            expected=f"1 to {MOST_PARTS} tables [[part]]",
            mend='Write [[part]] and below it lesson = "five-levels"',
        )
    parts = [_part(table, course) for table in tables[:MOST_PARTS]]
    known = [part for part in parts if part is not None]
    if top.report.problems or len(known) != len(parts):
        top.tables("played")  # cannot be judged before the parts are in order
        return None
    lecture = compose(title, known, course)
    return replace(lecture, played=_record(top, lecture, course))


def _part(table: Table, course: Course) -> Part | None:
    slug = table.text("lesson", longest=60)
    steps = table.texts("steps", most=20)
    notes = table.text("notes", default="", longest=4000)
    poll = table.flag("poll") if table.has("poll") else True
    given = table.number("minutes", least=1, most=MOST_MINUTES) if table.has("minutes") else 0.0
    part = None
    try:
        lesson = find_lesson(course, slug)
        minutes = given or usual_minutes(lesson, steps)
        part = Part(lesson=slug, steps=steps, minutes=minutes, notes=notes, poll=poll)
        compose("", [part], course)
    except PvsimError as error:
        if slug:
            key = "steps" if part is not None else "lesson"
            table.report.take_over((*table.path, key), error)
    table.close()
    return part


def _record(top: Table, lecture: Lecture, course: Course) -> tuple[Played, ...]:
    tables = top.tables("played")
    if len(tables) > MOST_PLAYED:
        top.refuse(
            "played", f"the record has {len(tables)} entries", expected=f"at most {MOST_PLAYED}",
            mend="Delete the oldest ones",
        )  # fmt: skip
    found: list[Played] = []
    scenario = ""
    for table in tables[:MOST_PLAYED]:
        if table.has("scenario"):
            scenario = table.text("scenario", longest=7000).replace(_NOT_KEPT, "")
        one = _entry(table, lecture, course, scenario)
        table.close()
        if one is not None:
            found.append(one)
    return tuple(found)


def _entry(table: Table, lecture: Lecture, course: Course, scenario: str) -> Played | None:
    seconds = table.number("seconds", least=0, most=86_400 * 2)
    number = int(table.number("part", least=1, most=len(lecture.parts)))
    moment = table.word("moment", MOMENTS)
    step_id = table.text("step", default="", longest=60)
    count = int(table.number("rounds", least=1, most=MOST_ROUNDS, default=1))
    hands, phones = (
        table.rows(name, most=MOST_ROUNDS, longest=MOST_NUMBERS) for name in ("hands", "phones")
    )
    flags = {name: table.flag(name) for name in ("shown", "seen", "waived")}
    cue = _cue(lecture, course, min(number, len(lecture.parts)) - 1, step_id, moment)
    if cue is None:
        table.refuse(
            "moment",
            f"part {number} has no cue '{moment}'" + (f" in a step '{step_id}'" if step_id else ""),
            expected="a moment that this lecture shows",
            mend="Delete this entry, or take the changes of [[part]] back",
        )
        return None
    rounds = tuple(
        Round(
            hands=hands[k] if k < len(hands) else (),
            phones=phones[k] if k < len(phones) else (),
        )
        for k in range(max(count, len(hands), len(phones)))
    )
    return Played(seconds=seconds, cue=cue, scenario=scenario, rounds=rounds[:MOST_ROUNDS], **flags)


def _cue(lecture: Lecture, course: Course, part: int, step_id: str, moment: str) -> Cue | None:
    for cue in lecture.cues:
        if cue.part != part or cue.moment != moment:
            continue
        step = step_of_cue(find_lesson(course, cue.lesson), cue)
        if (step.id if step is not None else "") == step_id:
            return cue
    return None
