"""The bench as a step of a lesson wants it, alone or in a lecture."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from pvsim.app.session.state import State
from pvsim.array.scenario import Scenario
from pvsim.course.lesson.lesson import Look
from pvsim.course.number.solved_scenario import Situation

__all__ = ["Bench"]


class Bench:
    """The page's array, set up by a lesson or a lecture.

    Parameters
    ----------
    state : State
        Whose array it is.

    Attributes
    ----------
    setting_up : bool
        Whether what changes in the state just now is the lesson's own doing, and nobody's act.
    """

    def __init__(self, state: State) -> None:
        self._state, self.setting_up = state, False

    @property
    def now(self) -> Situation:
        """The array as it stands."""
        return Situation(self._state.scenario, self._state.solution)

    @contextmanager
    def own_doing(self) -> Iterator[None]:
        """What is changed within is the lesson's own doing."""
        self.setting_up = True
        try:
            yield
        finally:
            self.setting_up = False

    def put(self, title: str, start: Scenario, done: Scenario | None) -> None:
        """A step's beginning as the state to compare with, then what its act has made of it."""
        with self.own_doing():
            self._state.lend(start, title)
            self._state.keep_before(silently=True)
            if done is not None:
                self._state.replace(done, title)

    def look(self, look: Look) -> None:
        """Look where a step looks; what it leaves open stays."""
        if look.focus is not None:
            self._state.set_focus(look.focus)
        if look.level is not None:
            self._state.set_level(look.level)
        if look.quantity is not None:
            self._state.set_quantity(look.quantity)
        if look.condition is not None:
            self._state.set_condition(look.condition, handed=True)
