"""What a browser's tab keeps of a lecture, so that a reload goes on with it."""

from __future__ import annotations

import json
from dataclasses import dataclass
from math import isfinite
from typing import Any

from pvsim.course.lecture.lecture import Lecture
from pvsim.course.lecture.lecture_file import read_lecture, write_lecture
from pvsim.course.lesson.lesson import Course
from pvsim.errors import FileError, PvsimError

__all__ = ["Kept", "read_kept", "write_kept"]

LONGEST = 1_200_000  # characters; that of a lecture file and a little more
MODES = ("ready", "live", "rehearsal")
MOST_POLLS = 2_000  # one for each question of a long lecture, many times over
LARGEST_WHOLE = 2**31 - 1  # as the store counts
LATEST_S = 1e11  # since 1970: some three thousand years
LONGEST_WORD = 80  # characters of a code or a key


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """All that is needed to go on.

    Parameters
    ----------
    lecture : Lecture
        With what was played of it.
    mode : str
        "ready", "live" or "rehearsal".
    began : float
        When it began, in seconds since 1970.
    room : tuple of (str, str, bool), or None
        Code and key of the class, and whether phones are asked.
    polls : mapping of (part, page) to (poll, first round)
        The questions that phones were asked.
    """

    lecture: Lecture
    mode: str
    began: float
    room: tuple[str, str, bool] | None
    polls: dict[tuple[int, int], tuple[int, int]]


def write_kept(kept: Kept, course: Course) -> str:
    """As text."""
    return json.dumps(
        {
            "file": write_lecture(kept.lecture, course),
            "mode": kept.mode,
            "began": kept.began,
            "room": kept.room,
            "polls": [[*key, *poll] for key, poll in kept.polls.items()],
        }
    )


def read_kept(text: object, course: Course) -> Kept:
    """Read what `write_kept` wrote, or somebody tampered with.

    Raises
    ------
    FileError
        If it is nothing of the kind.
    """
    try:
        if not isinstance(text, str) or len(text) > LONGEST:
            raise ValueError
        whole = json.loads(text)
        room, polls, began = whole["room"], whole["polls"], float(whole["began"])
        if whole["mode"] not in MODES or not (isfinite(began) and abs(began) < LATEST_S):
            raise ValueError
        if len(polls) > MOST_POLLS:
            raise ValueError
        return Kept(
            lecture=read_lecture(str(whole["file"]), "the lecture", course),
            mode=whole["mode"],
            began=began,
            room=None if room is None else (_word(room[0]), _word(room[1]), room[2] is True),
            polls={(_whole(a), _whole(b)): (_whole(c), _whole(d)) for a, b, c, d in polls},
        )
    except (PvsimError, ValueError, TypeError, KeyError, IndexError, OverflowError, RecursionError):
        raise FileError(
            "what this tab kept of a lecture cannot be read",
            expected="what pvsim wrote",
            mend="Begin the lecture anew",
        ) from None


def _word(value: Any) -> str:
    if not isinstance(value, str) or len(value) > LONGEST_WORD:
        raise ValueError
    return value


def _whole(value: Any) -> int:
    if type(value) is not int or not 0 <= value <= LARGEST_WHOLE:
        raise ValueError
    return value
