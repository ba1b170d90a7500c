"""A lecture that was held, gone through again moment by moment."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar, Self

from pvsim.app.lecture.bench import LectureBench
from pvsim.app.lecture.performance import NOTHING, Performance, Told
from pvsim.app.lecture.phones import Phones
from pvsim.app.words import _
from pvsim.course.lecture import lecture_state as stand
from pvsim.course.lecture.lecture import Lecture
from pvsim.course.lecture.lecture_record import podium_at, scenario_of_entry

__all__ = ["Replay"]


class Replay(Performance):
    """Where somebody is in the record of a lecture; nothing is asked, so nothing is locked.

    Parameters
    ----------
    lecture : Lecture
        With its record, which is not empty.
    bench : LectureBench
    """

    mode: ClassVar[str] = "replay"

    def __init__(self, lecture: Lecture, bench: LectureBench) -> None:
        self._lecture, self._bench = lecture, bench
        self._at = 0
        self.podium = podium_at(lecture, bench.course, 0)

    @classmethod
    def of(
        cls, lecture: Lecture, bench: LectureBench, phones: Phones, clock: Callable[[], float]
    ) -> Self | None:
        """The record of a lecture; None where it has none."""
        return cls(lecture, bench) if lecture.played else None

    @property
    def seconds(self) -> float:
        """When the entry was, after the beginning."""
        return self._lecture.played[self._at].seconds

    @property
    def entry(self) -> str:
        """Which entry of how many, and when it was."""
        seconds = int(self.seconds)
        return _("{n} of {m}, after {time}").format(
            n=self._at + 1,
            m=len(self._lecture.played),
            time=f"{seconds // 60}:{seconds % 60:02d}",
        )

    def enter(self) -> None:
        """Show the entry: the lecture and the bench as they stood."""
        self.podium = podium_at(self._lecture, self._bench.course, self._at)
        start, finish = stand.wanted(self.podium, self._bench.course)
        kept = scenario_of_entry(self._lecture.played[self._at])
        if kept is not None:
            finish = None if kept == start else kept
        self._bench.show(self.podium, start, finish)
        self._bench.state.lock(False)

    def next(self) -> Told:
        """One entry on."""
        return self._turn(self._at + 1)

    def back(self) -> Told:
        """One entry back."""
        return self._turn(self._at - 1)

    def go(self, at: int) -> Told:
        """To the first entry of a cue; stays where there is none."""
        wanted = self._lecture.cues[at] if 0 <= at < len(self._lecture.cues) else None
        entries = (k for k, one in enumerate(self._lecture.played) if one.cue == wanted)
        return self._turn(next(entries, self._at))

    def right(self) -> Told:
        """The bench as it stood."""
        return self._turn(self._at)

    def reveal(self) -> Told:
        """Show or hide what this moment kept back."""
        self.podium = stand.reveal(self.podium, self._bench.course)
        return NOTHING

    def _turn(self, at: int) -> Told:
        self._at = min(max(at, 0), len(self._lecture.played) - 1)
        self.enter()
        return NOTHING
