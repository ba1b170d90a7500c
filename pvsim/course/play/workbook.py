"""A learner's workbook: how far they are in every lesson, as a text that a browser or a file keeps.

JSON with a version. Steps are kept by their id, so that a lesson may be edited; what this course
does not have (another course's lessons, steps that are gone) is carried along untouched.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from types import MappingProxyType
from typing import Any

import pvsim
from pvsim.array.scenario import Scenario
from pvsim.course.lesson.lesson import Course, Lesson, Question, Step
from pvsim.course.number.checks import all_hold
from pvsim.course.number.solved_scenario import solved
from pvsim.course.play.answers import Answer, ChoiceAnswer, NumberAnswer, read_answer
from pvsim.course.play.closing_work import ClosingWork, merge_closing, read_closing, write_closing
from pvsim.course.play.player import Mark, Progress, begin, go_to
from pvsim.errors import FileError, PvsimError
from pvsim.files.extent import is_too_much
from pvsim.files.link import pack, unpack
from pvsim.words import _

FORMAT = 1
LONGEST = 400_000  # characters; the whole course with every step worked on needs a tenth
MOST_LESSONS = 200
LONGEST_TRACK = 40  # characters
_SOLUTION = "solution"  # in place of a scenario: the step's own


@dataclass(frozen=True, slots=True, kw_only=True)
class Workbook:
    """What a learner has done.

    Parameters
    ----------
    progresses : mapping of str to Progress
        By the lesson's slug.
    at : str
        Slug of the lesson opened last; "" for none.
    track : str
        Id of the track that the learner has chosen; "" for none.
    foreign : mapping
        Lessons and steps that this course does not have, as they were read.
    closing : ClosingWork
        The closing test, and the ideas that it cleared or showed.
    """

    progresses: Mapping[str, Progress] = field(default_factory=lambda: MappingProxyType({}))
    at: str = ""
    track: str = ""
    foreign: Mapping[str, Any] = field(default_factory=lambda: MappingProxyType({}))
    closing: ClosingWork = field(default_factory=ClosingWork)


def write_workbook(workbook: Workbook, course: Course) -> str:
    """The workbook as text, the same for equal workbooks."""
    lessons: dict[str, Any] = {slug: dict(entry) for slug, entry in workbook.foreign.items()}
    for lesson in course.lessons:
        progress = workbook.progresses.get(lesson.slug)
        if progress is None or progress == begin(lesson):
            continue
        known = zip(lesson.steps, progress.marks, strict=True)
        steps = {step.id: _written(step, mark) for step, mark in known if mark != Mark()}
        gone = lessons.get(lesson.slug, {}).get("steps", {})
        lessons[lesson.slug] = {"page": progress.page, "steps": gone | steps}
    whole = {"pvsim": pvsim.__version__, "format": FORMAT, "at": workbook.at, "lessons": lessons}
    whole |= {"track": workbook.track} if workbook.track else {}
    closing = write_closing(workbook.closing)
    whole |= {"closing": closing} if closing else {}
    return json.dumps(whole, ensure_ascii=False, sort_keys=True, separators=(",", ":"))


def read_workbook(text: str, course: Course) -> Workbook:
    """Read what `write_workbook` wrote, or somebody tampered with.

    A step whose stored work no longer fits the lesson is opened anew.

    Raises
    ------
    FileError
        If it is no workbook at all.
    """
    lessons, at, track, closing = _parse(text)
    progresses: dict[str, Progress] = {}
    foreign: dict[str, Any] = {}
    by_slug = {lesson.slug: lesson for lesson in course.lessons}
    for slug, entry in lessons.items():
        if not isinstance(entry, dict):
            continue
        if slug not in by_slug:
            foreign[slug] = entry
            continue
        progresses[slug], gone = _read_lesson(by_slug[slug], entry)
        if gone:
            foreign[slug] = {"steps": gone}
    return Workbook(
        progresses=progresses,
        at=at if at in by_slug else "",
        track=track,
        foreign=foreign,
        closing=closing,
    )


def merge(one: Workbook, other: Workbook) -> Workbook:
    """Both workbooks as one: of each step the work that is further; on a tie that of `one`."""
    progresses = dict(other.progresses)
    for slug, mine in one.progresses.items():
        theirs = progresses.get(slug)
        if theirs is None or len(theirs.marks) != len(mine.marks):
            progresses[slug] = mine
            continue
        pairs = zip(mine.marks, theirs.marks, strict=True)
        marks = tuple(a if _reached(a) >= _reached(b) else b for a, b in pairs)
        ahead = mine if _sum(mine) >= _sum(theirs) else theirs
        progresses[slug] = replace(mine, marks=marks, page=ahead.page)
    foreign = {**other.foreign, **one.foreign}
    return Workbook(
        progresses=progresses,
        at=one.at or other.at,
        track=one.track or other.track,
        foreign=foreign,
        closing=merge_closing(one.closing, other.closing),
    )


def _parse(text: str) -> tuple[dict[str, Any], str, str, ClosingWork]:
    """Lessons, the one opened last, the track, and the closing test."""
    if len(text) > LONGEST:
        raise FileError(
            _("the workbook has {count:,} characters").format(count=len(text)),
            expected=_("at most {most:,}").format(most=LONGEST),
            mend=_("Choose the file that pvsim saved"),
        )
    whole = _loaded(text)
    lessons = whole.get("lessons") if isinstance(whole, dict) else None
    if not isinstance(whole, dict) or not isinstance(lessons, dict) or len(lessons) > MOST_LESSONS:
        raise FileError(
            _("this is no workbook of pvsim, or a damaged one"),
            expected=_("a file saved with “Save it as a file”"),
            mend=_("Choose another file; what you have done here is kept"),
        )
    if whole.get("format") != FORMAT:
        raise FileError(
            _("the workbook has the format {value}").format(value=str(whole.get("format"))[:20]),
            expected=_("format {format}").format(format=FORMAT),
            mend=_("A later format needs a later pvsim"),
        )
    at, track = whole.get("at"), whole.get("track")
    return (
        lessons,
        at if isinstance(at, str) else "",
        track if isinstance(track, str) and len(track) <= LONGEST_TRACK else "",
        read_closing(whole.get("closing")),
    )


def _loaded(text: str) -> Any:
    """What stands in a JSON text; None if it is none, or could not be written again as it is."""
    try:
        whole = json.loads(text, parse_constant=_refuse_constant)
        json.dumps(whole, ensure_ascii=False).encode()  # fails on halves of characters
    except (ValueError, RecursionError):
        return None
    return None if is_too_much(whole) else whole


def _refuse_constant(text: str) -> float:
    raise ValueError(f"{text} is not a number")


def _written(step: Step, mark: Mark) -> dict[str, Any]:
    entry: dict[str, Any] = {}
    if mark.prediction is not None:
        entry["prediction"] = _plain(mark.prediction)
    if mark.done is not None:
        entry["done"] = _SOLUTION if mark.done == step.finish else _packed(mark.done)
    if mark.seen is not None:
        entry["seen"] = _plain(mark.seen)
    return entry | {"tries": mark.tries, "settled": mark.settled}


@lru_cache(maxsize=256)
def _packed(scenario: Scenario) -> str:
    try:
        return pack(scenario)
    except PvsimError:  # far too much was painted: the step counts as done by its own solution
        return _SOLUTION


def _plain(answer: Answer) -> dict[str, Any]:
    return {"number": answer.number} if isinstance(answer, NumberAnswer) else {"choice": answer.choice}


def _read_lesson(lesson: Lesson, entry: Mapping[str, Any]) -> tuple[Progress, dict[str, Any]]:
    """The progress in one lesson, and the steps it does not have."""
    stored = entry.get("steps")
    steps: dict[str, Any] = stored if isinstance(stored, dict) else {}
    known = {step.id for step in lesson.steps}
    gone = {name: one for name, one in steps.items() if name not in known and isinstance(one, dict)}
    marks = tuple(_read_mark(step, steps.get(step.id)) for step in lesson.steps)
    page = entry.get("page")
    progress = replace(begin(lesson), marks=marks)
    if isinstance(page, int) and not isinstance(page, bool):
        progress = go_to(lesson, progress, page)
    return progress, gone


def _read_mark(step: Step, entry: Any) -> Mark:
    if not isinstance(entry, dict):
        return Mark()
    prediction = _read_answer(step.predict, entry.get("prediction"))
    if prediction is None:
        return Mark()
    done = _read_done(step, entry.get("done"))
    if done is None:
        return Mark(prediction=prediction)
    seen = None if step.observe is None else _read_answer(step.observe, entry.get("seen"))
    tries = entry.get("tries")
    return Mark(
        prediction=prediction,
        done=done,
        seen=seen,
        tries=min(max(tries, 0), 999) if isinstance(tries, int) else 0,
        settled=entry.get("settled") is True,
    )


def _read_answer(question: Question, stored: Any) -> Answer | None:
    if not isinstance(stored, dict):
        return None
    if "number" in stored:
        number = stored["number"]
        is_number = isinstance(number, (int, float)) and not isinstance(number, bool)
        fits = is_number and abs(number) < 1e12 and not hasattr(question, "choices")
        return NumberAnswer(float(number)) if fits else None
    try:
        answer = read_answer(question, stored.get("choice"))
    except PvsimError:
        return None
    return answer if isinstance(answer, ChoiceAnswer) else None


def _read_done(step: Step, stored: Any) -> Scenario | None:
    """The stored scenario, if it still does what the step asks."""
    if stored == _SOLUTION:
        return step.finish
    if not isinstance(stored, str):
        return None
    try:
        scenario = unpack(stored)
        return scenario if all_hold(step.done_when, solved(scenario)) else None
    except PvsimError:
        return None


def _sum(progress: Progress) -> int:
    return sum(_reached(mark) for mark in progress.marks)


def _reached(mark: Mark) -> int:
    """How far a step has come: predicted, done, explained."""
    return (mark.prediction is not None) + (mark.done is not None) + mark.settled
