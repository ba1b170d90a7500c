"""What a browser's tab is given to go on with a lecture after a reload, whenever that has changed."""

from __future__ import annotations

from pvsim.app.lecture.kept import Kept, write_kept
from pvsim.app.lecture.performance import Performance
from pvsim.app.lecture.phones import Phones
from pvsim.app.lecture.sheet import LectureSheet
from pvsim.course.lecture.lecture import Lecture
from pvsim.course.lesson.lesson import Course

__all__ = ["Tab"]


class Tab:
    """The memory of a browser's tab.

    Parameters
    ----------
    root : LectureSheet
        Through which it is reached.
    """

    def __init__(self, root: LectureSheet) -> None:
        self._root = root
        self._kept: Kept | None = None

    def keep(
        self, lecture: Lecture, performance: Performance | None, phones: Phones, course: Course
    ) -> None:
        """Let it keep how a lecture stands; the record of an hour has some hundred kB."""
        kept = Kept(
            lecture=lecture,
            mode="ready" if performance is None else performance.kept_as,
            began=0.0 if performance is None else performance.began,
            room=phones.kept(),
            polls=dict(phones.polls),
        )
        if kept != self._kept:
            self._kept, self._root.kept = kept, write_kept(kept, course)

    def forget(self) -> None:
        """Let it forget the lecture."""
        self._kept, self._root.kept = None, ""
