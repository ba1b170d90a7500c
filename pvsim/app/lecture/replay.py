"""A lecture that was held, gone through again moment by moment."""

from __future__ import annotations

from pvsim.app.words import _
from pvsim.array.scenario import Scenario
from pvsim.course.lecture.lecture import Lecture
from pvsim.course.lecture.lecture_record import podium_at, scenario_of_entry
from pvsim.course.lecture.lecture_state import Podium, wanted
from pvsim.course.lesson.lesson import Course

__all__ = ["Replay"]


class Replay:
    """Where somebody is in the record of a lecture.

    Parameters
    ----------
    script : Lecture
        With its record; one without has nothing to go through.
    course : Course
    """

    def __init__(self, script: Lecture, course: Course) -> None:
        self._script, self._course = script, course
        self._entry = 0

    def turn(self, by: int) -> None:
        """To another entry; beyond the ends, to the nearest."""
        self._entry = min(max(self._entry + by, 0), len(self._script.played) - 1)

    def go(self, at: int) -> None:
        """To the first entry of a cue; stays where there is none."""
        for entry, one in enumerate(self._script.played):
            if self._script.cues.index(one.cue) == at:
                self._entry = entry
                return

    @property
    def podium(self) -> Podium:
        """Where the lecture stood."""
        return podium_at(self._script, self._course, self._entry)

    @property
    def bench(self) -> tuple[Scenario, Scenario | None]:
        """What was compared with, and what was on the bench; None when that was the same."""
        start, finish = wanted(self.podium, self._course)
        kept = scenario_of_entry(self._script.played[self._entry])
        return start, finish if kept is None else None if kept == start else kept

    @property
    def seconds(self) -> float:
        """When it was, after the beginning."""
        return self._script.played[self._entry].seconds

    @property
    def words(self) -> str:
        """Which entry of how many, and when it was."""
        seconds = int(self.seconds)
        return _("{n} of {m}, after {time}").format(
            n=self._entry + 1,
            m=len(self._script.played),
            time=f"{seconds // 60}:{seconds % 60:02d}",
        )
