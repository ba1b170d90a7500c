"""What lies aside while a lesson has its own array on the bench."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from pvsim.app.session import history as past
from pvsim.app.session.parameters import first_view
from pvsim.app.session.record import Record
from pvsim.app.session.sentences import result_sentence
from pvsim.app.words import _
from pvsim.array.scenario import Scenario

__all__ = ["Lending"]

OWN_VIEW = (
    "focus", "level", "quantity", "view", "unfolded", "condition", "comparison", "before", "before_scenario",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Aside:
    """What was on somebody's bench before a lesson's array took its place, and how it was shown."""

    history: past.History
    origin: Scenario
    view: Mapping[str, Any]


class Lending(Record):
    """The bench, lent to a lesson and given back as it was."""

    def __init__(self, scenario: Scenario, **params: Any) -> None:
        super().__init__(scenario, **params)
        self._aside: Aside | None = None

    @property
    def own_scenario(self) -> Scenario | None:
        """What lies aside, with how it was shown as its first view; None where nothing does."""
        if self._aside is None or not self._history.current.lent:
            return None
        scenario = self._aside.history.current.scenario
        view = replace(
            scenario.first_view, focus=self._aside.view["focus"], quantity=self._aside.view["quantity"]
        )
        return replace(scenario, first_view=view)

    def lend(self, scenario: Scenario, what: str) -> None:
        """Put a lesson's scenario on the bench, also while changes are locked; what was there lies aside.

        Undo goes back to what lies aside from there on, and `give_back` brings it back as it was.
        """
        self._let_go()
        settled = self._settled_or_told(scenario)
        if settled is None:
            return
        scenario, solution, released = settled
        self.end_stroke()
        if not self._history.current.lent:
            view = {name: getattr(self, name) for name in OWN_VIEW}
            self._aside = Aside(history=past.own(self._history), origin=self._origin, view=view)
        self._history, self._origin = past.lend(self._history, scenario, what), scenario
        view = {**first_view(scenario), "comparison": "last"}
        self._publish(
            scenario, solution, said=result_sentence(what, None, solution), notice=released, **view
        )

    def take_aside(self, scenario: Scenario) -> None:
        """Let another scenario be what lies aside, as if it had been on the bench before the lesson."""
        aside, now = self._aside, self._history.current
        if aside is None or not now.lent:
            return
        view = {**aside.view, **first_view(scenario)}
        self._aside = replace(aside, history=past.start(scenario), origin=scenario, view=view)
        self._history = past.lend(self._aside.history, now.scenario, now.what)

    def give_back(self) -> None:
        """Put back on the bench what a lesson's array took the place of, with its own undo."""
        aside, lent = self._aside, self._history.current.lent
        if aside is None:
            return
        self._let_go()
        self.end_stroke()
        self._history = aside.history if lent else past.own(self._history)  # undo had come back to it already
        self._origin, self._aside = aside.origin, None
        scenario = self._history.current.scenario
        solution = self._solve(scenario)
        what = _("{title} is on the bench again").format(title=_(scenario.title))
        self._publish(scenario, solution, said=result_sentence(what, None, solution), **aside.view)

    def _private(self) -> tuple[Any, ...]:
        return self._aside, super()._private()

    def _go_back(self, before: tuple[Any, ...]) -> None:
        self._aside, others = before
        super()._go_back(others)
