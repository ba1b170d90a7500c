"""Where a learner is in a course, and all that they have done in it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pvsim.course.lesson.audience import lessons_in_order
from pvsim.course.lesson.lesson import Course, Lesson, Step
from pvsim.course.play import player
from pvsim.course.play.closing_work import ClosingWork
from pvsim.course.play.player import Mark, Progress
from pvsim.course.play.workbook import Workbook, merge, read_workbook, write_workbook

__all__ = ["CLOSING", "GLOSSARY", "Learner"]

GLOSSARY, CLOSING = "glossary", "closing-test"  # in place of a lesson, where no lesson is called so


class Learner:
    """A learner's place in a course, and their work.

    Parameters
    ----------
    course : Course

    Attributes
    ----------
    progresses : dict of str to Progress
        By slug; the browser keeps them beyond the session.
    at : str
        Slug of the lesson opened last.
    track : str
        Id of the one that was chosen.
    glossary : bool
        Whether the glossary is open, in place of a lesson.
    closing : ClosingWork
        Their closing test.
    closing_page : int or None
        The page of it that is open, in place of a lesson.
    unwritten : bool
        Whether the browser has yet to be given what was done.
    """

    def __init__(self, course: Course) -> None:
        self.course = course
        self.progresses: dict[str, Progress] = {}
        self.at = self.track = ""
        self.glossary = False
        self.closing = ClosingWork()
        self.closing_page: int | None = None
        self.unwritten = True
        self._open = ""
        self._foreign: Mapping[str, Any] = {}

    # Where they are

    @property
    def lesson(self) -> Lesson | None:
        """The lesson that is open."""
        return self.find(self._open)

    @property
    def progress(self) -> Progress:
        """How far they are in the open lesson."""
        return self.progresses[self._open]

    @property
    def page(self) -> int:
        """The page of the open lesson; 0 where none is open."""
        return self.progresses[self._open].page if self._open in self.progresses else 0

    @property
    def step(self) -> Step | None:
        """The step of the page."""
        lesson = self.lesson
        return None if lesson is None else player.step_of(lesson, self.progress)

    @property
    def mark(self) -> Mark:
        """What has happened in that step."""
        lesson = self.lesson
        return Mark() if lesson is None else player.mark_of(lesson, self.progress)

    @property
    def address(self) -> str:
        """Where they are, as the page's address carries it."""
        lesson = self.lesson
        if lesson is None:
            return CLOSING if self.closing_page is not None else GLOSSARY if self.glossary else ""
        return f"{lesson.slug}/{self.progress.page}"

    @property
    def wanted(self) -> tuple[object, ...]:
        """What the page wants on the bench; the same as long as nothing has to be set up anew."""
        lesson, step = self.lesson, self.step
        if lesson is None:
            return ()
        return (lesson.steps[0].start,) if step is None else (step.start, step.look, self.mark.done)

    def find(self, slug: str) -> Lesson | None:
        """A lesson of the course."""
        return next((one for one in self.course.lessons if one.slug == slug), None)

    def following(self, lesson: Lesson) -> Lesson | None:
        """The lesson that comes after one, on the track that was chosen."""
        lessons = lessons_in_order(self.course, self.track)
        place = lessons.index(lesson) + 1
        return lessons[place] if place < len(lessons) else None

    # Where they go

    def open(self, lesson: Lesson, page: int | None = None) -> None:
        """Open a lesson where it was left, or at a page of it."""
        self._open = self.at = lesson.slug
        self.closing_page = None
        progress = self.progresses.get(lesson.slug) or player.begin(lesson)
        self.set(progress if page is None else player.go_to(lesson, progress, page))

    def turn(self, page: int) -> None:
        """To a page of the open lesson; beyond the ends, to the nearest."""
        lesson = self.lesson
        if lesson is not None:
            self.set(player.go_to(lesson, self.progress, page))

    def close(self, *, glossary: bool = False, closing_page: int | None = None) -> None:
        """To the contents, to the glossary, or to a page of the closing test."""
        self._open, self.glossary, self.closing_page = "", glossary, closing_page

    def set_closing(self, work: ClosingWork) -> None:
        """Take another state of the closing test."""
        self.closing, self.unwritten = work, True

    def set(self, progress: Progress) -> None:
        """Take another progress in its lesson."""
        self.progresses[progress.lesson] = progress
        self.unwritten = True

    def choose_track(self, track: object) -> None:
        """Read as on this track; "" leaves it open again."""
        if track == "" or any(one.id == track for one in self.course.tracks):
            self.track, self.unwritten = str(track), True

    # What is kept

    @property
    def workbook(self) -> Workbook:
        """All progress, to be kept in the learner's own browser."""
        return Workbook(
            progresses=self.progresses,
            at=self.at,
            track=self.track,
            foreign=self._foreign,
            closing=self.closing,
        )

    def join(self, other: Workbook) -> bool:
        """Take over the work of another workbook.

        The page somebody is on stays, however far they had come before.

        Returns
        -------
        bool
            Whether the other knows more of the open lesson, so that its page has to be set up anew: opened
            by an address, before the browser told what it had kept.
        """
        lesson, here = self.lesson, self.page
        whole = merge(self.workbook, other)
        self.progresses, self._foreign = dict(whole.progresses), whole.foreign
        self.at, self.track, self.unwritten = whole.at, whole.track, True
        self.closing = whole.closing
        if lesson is None:
            return False
        self.turn(here)
        return other.progresses.get(lesson.slug) not in (None, player.begin(lesson))

    def forget(self) -> None:
        """Forget all work, for the next person at this screen."""
        self.progresses, self._foreign = {}, {}
        self.closing = ClosingWork()
        self.at, self.track, self.unwritten = "", "", True

    def renew(self, course: Course) -> None:
        """Go on in another reading of the course: the same step and the same work, as far as they fit it.

        Parameters
        ----------
        course : Course
            In the language of the one before.
        """
        lesson, page = self.lesson, self.page
        kept = read_workbook(write_workbook(self.workbook, self.course), course)
        self.course = course
        self.progresses, self._foreign, self.unwritten = dict(kept.progresses), kept.foreign, True
        new = None if lesson is None else self.find(lesson.slug)
        if lesson is not None and new is not None:
            start = self.progresses.get(new.slug) or player.begin(new)
            self.set(player.go_to(new, start, player.same_page(lesson, page, new)))
