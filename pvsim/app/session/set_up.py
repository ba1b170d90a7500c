"""The bench as a step of a lesson wants it, alone or in a lecture."""

from __future__ import annotations

from pvsim.app.session.state import State
from pvsim.array.scenario import Scenario
from pvsim.course.lesson.lesson import Look

__all__ = ["look_at", "put_on_bench"]


def put_on_bench(state: State, title: str, start: Scenario, done: Scenario | None) -> None:
    """The step's beginning as the state to compare with, then what its act has made of it."""
    state.lend(start, title)
    state.keep_before(silently=True)
    if done is not None:
        state.replace(done, title)


def look_at(state: State, look: Look) -> None:
    """Look where a step looks; what it leaves open stays."""
    if look.focus is not None:
        state.set_focus(look.focus)
    if look.level is not None:
        state.set_level(look.level)
    if look.quantity is not None:
        state.set_quantity(look.quantity)
    if look.condition is not None:
        state.set_condition(look.condition, handed=True)
