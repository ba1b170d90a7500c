"""The bench as a cue of a lecture wants it: array, look, lock."""

from __future__ import annotations

from dataclasses import replace

from pvsim.app.session.bench import Bench
from pvsim.app.session.state import State
from pvsim.array.scenario import Scenario
from pvsim.course.lecture import lecture_state as stand
from pvsim.course.lecture.lecture import Played
from pvsim.course.lecture.lecture_state import Podium
from pvsim.course.lesson.giveaway import covered
from pvsim.course.lesson.lesson import Course

__all__ = ["LectureBench"]


class LectureBench(Bench):
    """The page's array while a lecture is held.

    Parameters
    ----------
    state : State
    course : Course
        The lessons as they were when the lecture was chosen.
    """

    def __init__(self, state: State, course: Course) -> None:
        super().__init__(state)
        self.state, self.course = state, course

    def set_up(self, podium: Podium) -> Podium:
        """Put everything as the cue wants it, whatever was pressed; the page's menus follow by themselves.

        Returns
        -------
        Podium
            With the act done, where the cue lies behind it.
        """
        self._take_up_search(podium)
        start, finish = stand.wanted(podium, self.course)
        self.show(podium, start, finish)
        behind = stand.cue_of(podium).moment in ("look", "explain")
        if stand.step_of(podium, self.course) is not None and finish is not None and behind:
            podium = stand.with_done(podium, finish)
        self.lock(podium)
        return podium

    def leave(self) -> None:
        """Let go of the search of a step, and give the bench back as it was before the lecture."""
        self.state.drop_lesson_search()
        self.state.lesson_search = None
        self.state.lock(False)
        self.state.give_back()

    def _take_up_search(self, podium: Podium) -> None:
        """Have the search of the cue's step as the one that can be begun; the words come back."""
        step = stand.step_of(podium, self.course)
        case = step.search.case if step is not None and step.search is not None else None
        if case != self.state.lesson_search:
            self.state.drop_lesson_search()
            self.state.lesson_search = case
        elif case is not None and self.state.field.case == case:
            self.state.open_field(False)

    def show(self, podium: Podium, start: Scenario, finish: Scenario | None) -> None:
        """Show a scenario and what an act has made of it, as the cue looks at them."""
        lesson, step = stand.lesson_of(podium, self.course), stand.step_of(podium, self.course)
        self.state.cue = podium.at
        self.put(lesson.title if step is None else step.title, start, finish)
        self.state.put_right()
        self.look((step or lesson.steps[0]).look)

    def lock(self, podium: Podium) -> None:
        """Lock the array while the class is asked, and keep back what would answer it."""
        locked = stand.locked(podium, self.course)
        step = stand.step_of(podium, self.course)
        opening = stand.cue_of(podium).moment == "opening"
        if opening:  # the first step's array is on the bench already
            step = stand.lesson_of(podium, self.course).steps[0]
        self.state.lock(locked, covered(step) if step is not None and (locked or opening) else ())

    def write_down(self, played: tuple[Played, ...]) -> None:
        """Let the lecture that the page has know what was played of it."""
        if self.state.lecture is not None and played != self.state.lecture.played:
            with self.own_doing():
                self.state.lecture = replace(self.state.lecture, played=played)
