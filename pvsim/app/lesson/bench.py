"""The bench as a page of a lesson wants it: array, look, lock."""

from __future__ import annotations

from pvsim.app.lesson.learner import Learner
from pvsim.app.session.bench import Bench
from pvsim.app.session.state import State
from pvsim.course.lesson.giveaway import covered
from pvsim.course.lesson.lesson import Step
from pvsim.course.play import player
from pvsim.course.play.player import Mark

__all__ = ["LessonBench"]


class LessonBench(Bench):
    """The page's array while a lesson is open.

    Parameters
    ----------
    state : State
    learner : Learner
        Whose page sets it up.
    """

    def __init__(self, state: State, learner: Learner) -> None:
        super().__init__(state)
        self.state, self._learner = state, learner

    def set_up(self) -> None:
        """Put everything as the learner's page wants it, and tell the address where that is."""
        lesson, step = self._learner.lesson, self._learner.step
        if lesson is None:
            return
        if step is not None:
            self.show(step, self._learner.mark)
        elif self._learner.page == 0:
            self.show(lesson.steps[0], Mark())
        self.lock()
        self.state.lesson = self._learner.address

    def show(self, step: Step, mark: Mark) -> None:
        """A step's beginning as the state to compare with, then what was done, then the look."""
        self.put(step.title, step.start, mark.done)
        self.look(step.look)

    def lock(self) -> None:
        """Lock the array until a prediction is stored, and keep back what would answer it."""
        learner = self._learner
        lesson, step, mark = learner.lesson, learner.step, learner.mark
        if lesson is None:
            self.state.lesson_search = None
            self.state.lock(False)
            return
        self.state.lesson_search = step.search.case if step is not None and step.search else None
        if step is None and learner.page == 0:  # the first step's array is on the bench already
            step, mark = lesson.steps[0], learner.progress.marks[0]
        back = covered(step) if step is not None and mark.prediction is None else ()
        self.state.lock(player.locked(lesson, learner.progress), back)

    def leave(self) -> None:
        """Give the bench back as it was before the lesson."""
        self.state.lesson_search = None
        self.state.lock(False)
        self.state.lesson = self._learner.address
        self.state.give_back()
