"""What a browser's tab keeps of a lecture, so that a reload goes on with it."""

from __future__ import annotations

import json
from dataclasses import dataclass

from pvsim.course.lecture import Lecture
from pvsim.course.lecture_file import read_lecture, write_lecture
from pvsim.course.lesson import Course
from pvsim.errors import FileError, PvsimError

__all__ = ["Kept", "read_kept", "write_kept"]

LONGEST = 1_200_000  # characters; that of a lecture file and a little more


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
        room = whole["room"]
        return Kept(
            lecture=read_lecture(str(whole["file"]), "the lecture", course),
            mode=str(whole["mode"]),
            began=float(whole["began"]),
            room=None if room is None else (str(room[0]), str(room[1]), room[2] is True),
            polls={(int(a), int(b)): (int(c), int(d)) for a, b, c, d in whole["polls"]},
        )
    except (PvsimError, ValueError, TypeError, KeyError, IndexError, RecursionError):
        raise FileError(
            "what this tab kept of a lecture cannot be read",
            expected="what pvsim wrote",
            mend="Begin the lecture anew",
        ) from None
