"""What was done and can be undone: a bounded list of scenarios with one of them current."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

from pvsim.array.scenario import Scenario

__all__ = ["History", "Step", "add", "amend", "back", "forward", "lend", "own", "start"]

LONGEST = 200  # steps; a scenario shares all it did not change with its neighbours, so a step is small
COMPARED = tuple(one.name for one in fields(Scenario) if one.name not in ("operation", "first_view"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A scenario and the words for what led to it.

    Parameters
    ----------
    scenario : Scenario
    what : str
    lent : bool
        Whether a lesson or a lecture put it there, or what it was made from.
    begins : bool
        Whether it is another array altogether, of which what was there before is no measure.
    """

    scenario: Scenario
    what: str
    lent: bool = False
    begins: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """Steps, oldest first, and which one is current."""

    steps: tuple[Step, ...]
    index: int = 0

    @property
    def current(self) -> Step:
        """The step shown."""
        return self.steps[self.index]

    @property
    def previous(self) -> Step | None:
        """The step before the current one, if any."""
        return self.steps[self.index - 1] if self.index else None

    @property
    def compared(self) -> Step | None:
        """The latest step before the array itself was last changed; where it is held does not count."""
        now, later = self.current.scenario, self.current
        for step in reversed(self.steps[: self.index]):
            if later.begins:
                return None
            if any(getattr(step.scenario, name) != getattr(now, name) for name in COMPARED):
                return step
            later = step
        return None

    @property
    def can_go_back(self) -> bool:
        """Whether something is left to undo."""
        return self.index > 0

    @property
    def can_go_forward(self) -> bool:
        """Whether something is left to redo."""
        return self.index < len(self.steps) - 1


def start(scenario: Scenario) -> History:
    """A history that begins here."""
    return History(steps=(Step(scenario=scenario, what=""),))


def add(history: History, scenario: Scenario, what: str, *, begins: bool = False) -> History:
    """The history with one step more; what was undone before it is forgotten."""
    return _onward(history, replace(history.current, scenario=scenario, what=what, begins=begins))


def amend(history: History, scenario: Scenario, what: str) -> History:
    """The history with its current step replaced: one stroke of many paints is one step."""
    step = replace(history.current, scenario=scenario, what=what)
    steps = (*history.steps[: history.index], step)
    return History(steps=steps, index=len(steps) - 1)


def lend(history: History, scenario: Scenario, what: str) -> History:
    """Somebody's own history with a lesson's scenario as one step more."""
    return _onward(own(history), Step(scenario=scenario, what=what, lent=True, begins=True))


def own(history: History) -> History:
    """The history without what was lent; where somebody was in it, or at its end."""
    steps = tuple(step for step in history.steps if not step.lent)
    return History(steps=steps, index=min(history.index, len(steps) - 1))


def _onward(history: History, step: Step) -> History:
    steps = (*history.steps[: history.index + 1], step)[-LONGEST:]
    return History(steps=steps, index=len(steps) - 1)


def back(history: History) -> History:
    """One step back; the history itself when there is none."""
    return replace(history, index=max(0, history.index - 1))


def forward(history: History) -> History:
    """One step forward; the history itself when there is none."""
    return replace(history, index=min(len(history.steps) - 1, history.index + 1))
