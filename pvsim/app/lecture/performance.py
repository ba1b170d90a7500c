"""A lecture that somebody goes through, in whichever way: what the view asks of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, ClassVar, Self

from pvsim.app.component import Reply
from pvsim.app.lecture.bench import LectureBench
from pvsim.app.lecture.kept import Kept
from pvsim.app.lecture.phones import Phones
from pvsim.course.lecture.lecture import Lecture
from pvsim.course.lecture.lecture_state import Podium

__all__ = ["ACTS", "Performance", "Told"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What comes of a press beside the next sheet.

    Parameters
    ----------
    said : str
        What it did, for those who listen.
    hint : str
        What it needs before it does anything; on the sheet.
    reply : Reply
        What goes back to the browser with the answer.
    """

    said: str = ""
    hint: str = ""
    reply: Reply = None


NOTHING = Told()


class Performance:
    """One way of going through a lecture; what a way has no use for does nothing.

    Attributes
    ----------
    podium : Podium
        Where it stands.
    mode : str
        What the browser calls this way.
    kept_as : str
        What a tab goes on with after a reload: "ready", before it has begun, where nothing would be lost.
    held : bool
        Whether it is held now, so that answers count and the act can be done.
    began : float
        When it was begun, in seconds since 1970; 0 where that does not count.
    """

    mode: ClassVar[str]
    kept_as: ClassVar[str] = "ready"
    held: ClassVar[bool] = False
    podium: Podium
    began = 0.0

    @classmethod
    def of(
        cls, lecture: Lecture, bench: LectureBench, phones: Phones, clock: Callable[[], float]
    ) -> Self | None:
        """This way of going through a lecture, from its beginning; None where it has no such way.

        Parameters
        ----------
        phones : Phones
            The class, which may be closed.
        clock : callable
            Seconds since 1970.
        """
        return None

    @classmethod
    def resumed(
        cls, kept: Kept, bench: LectureBench, phones: Phones, clock: Callable[[], float]
    ) -> Self | None:
        """The lecture that a tab has kept, where it was; None where it begins anew."""
        return None

    @property
    def seconds(self) -> float:
        """How long the lecture had run at what is shown."""
        return 0.0

    @property
    def entry(self) -> str:
        """Which moment of how many is shown, where it is gone through again."""
        return ""

    def enter(self) -> None:
        """Show where it stands: the bench as it is wanted there, and all that goes with it."""

    def go_on(self, kept: Kept) -> None:
        """Show where it stands after a reload, and find the class again."""

    # What is pressed

    def heed(self, act: str) -> None:
        """Hear of every press before it is done: what has to be pressed twice asks for that."""

    def next(self) -> Told:
        """One cue on."""
        return NOTHING

    def back(self) -> Told:
        """One cue back."""
        return NOTHING

    def go(self, at: int) -> Told:
        """To a cue; beyond the ends, to the nearest."""
        return NOTHING

    def right(self) -> Told:
        """Everything as this cue wants it, whatever was pressed."""
        return NOTHING

    def reveal(self) -> Told:
        """Show or hide what this moment keeps back."""
        return NOTHING

    def again(self) -> Told:
        """A second round."""
        return NOTHING

    def hands(self, text: str) -> Told:
        """Hands as they were counted, or numbers as they were called out.

        Raises
        ------
        LessonError
            If they cannot be read.
        """
        return NOTHING

    def count(self, choice: Any, by: Any) -> Told:
        """One hand more or fewer for a choice."""
        return NOTHING

    def do(self) -> Told:
        """Do the act for the lecturer."""
        return NOTHING

    def seek(self, kept: str) -> Told:
        """Begin the search that is the act, with its fault hidden, or go on with it.

        Parameters
        ----------
        kept : str
            What the browser's tab has kept of it.
        """
        return NOTHING

    def open_class(self) -> Told:
        """Open the class for its phones, or close it."""
        return NOTHING

    def open_notes(self) -> Told:
        """The notes, for a window of their own."""
        return NOTHING

    # What comes from elsewhere

    def watch(self) -> bool:
        """The array was changed; whether that is anything to this way of going through a lecture."""
        return False

    def hear(self) -> None:
        """Something changed in the class."""

    def settle(self) -> None:
        """The array has not been changed for a while."""


def _go(performance: Performance, at: Any) -> Told:
    whole = isinstance(at, int) and not isinstance(at, bool)
    return performance.go(at) if whole else NOTHING


def _count(performance: Performance, value: Any) -> Told:
    fields = value if isinstance(value, dict) else {}
    return performance.count(fields.get("choice"), fields.get("by"))


# What each press asks of a performance; its value is as it came from the browser.
ACTS: Mapping[str, Callable[[Performance, Any], Told]] = {
    "next": lambda performance, _value: performance.next(),
    "back": lambda performance, _value: performance.back(),
    "go": _go,
    "right": lambda performance, _value: performance.right(),
    "reveal": lambda performance, _value: performance.reveal(),
    "again": lambda performance, _value: performance.again(),
    "hands": lambda performance, value: performance.hands(str(value)),
    "count": _count,
    "do": lambda performance, _value: performance.do(),
    "seek": lambda performance, value: performance.seek(value if isinstance(value, str) else ""),
    "class": lambda performance, _value: performance.open_class(),
    "notes": lambda performance, _value: performance.open_notes(),
}
