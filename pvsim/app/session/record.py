"""How a session goes from one scenario to the next without a half-way state, and back again."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from typing import Any

from pvsim.app.session import history as past
from pvsim.app.session.parameters import Parameters, first_view
from pvsim.app.session.sentences import result_sentence
from pvsim.app.session.solved import opened
from pvsim.app.words import _
from pvsim.array.part_place import nearest_place
from pvsim.array.place import Place
from pvsim.array.scenario import Scenario, check_places
from pvsim.array.solution import ArraySolution
from pvsim.errors import PvsimError

__all__ = ["Record"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What a change has led to, before it is solved."""

    scenario: Scenario
    what: str
    amends: bool  # the step that its stroke has made already
    begins: bool  # an array that is not compared with the one before
    stroke: int  # in which it was wished; 0 outside of any


class Record(Parameters):
    """A session's history, and the one way from a scenario to the next.

    Parameters
    ----------
    scenario : Scenario
        What is set up at first; solved at once.

    Raises
    ------
    PvsimError
        If that first scenario cannot be solved.
    """

    def __init__(self, scenario: Scenario, **params: Any) -> None:
        self._wish: Wish | None = None  # what is being worked out
        self._stroke = 0
        self._in_stroke = False
        self._stroke_name: object = None
        self._stroke_step: past.Step | None = None  # that it has made
        self._stroke_places: dict[Place, None] = {}
        solution, released = opened(scenario)
        values = {"scenario": solution.scenario, "solution": solution, "notice": released}
        super().__init__(**values | first_view(scenario) | params)
        self._keep(solution)
        self._history, self._origin = past.start(solution.scenario), solution.scenario
        self.said = result_sentence("", None, solution)

    # A stroke: many paints or moves that are one step to undo

    @contextmanager
    def stroke(self, name: object) -> Iterator[None]:
        """What is changed in here is one step with what the stroke of this name has changed before.

        Nobody has to say when it is over: between its turns whatever else is changed is a step of its own,
        and what comes of it afterwards begins another.
        """
        gone = self._stroke_step is not None and self._stroke_step is not self._history.current
        if gone or name != self._stroke_name:
            self.begin_stroke()
            self._stroke_name = name
        self._in_stroke = True
        try:
            yield
        finally:
            self._in_stroke = False

    def begin_stroke(self) -> None:
        """From here all changes count as one step, until end_stroke."""
        self.end_stroke()
        self._in_stroke = True
        self._stroke += 1

    def end_stroke(self) -> None:
        """The next change is a step of its own again."""
        self._in_stroke, self._stroke_name, self._stroke_step = False, None, None
        self._stroke_places.clear()

    @property
    def set_out_from(self) -> past.Step | None:
        """What the latest change set out from; the same one as long as a stroke lasts."""
        return self._history.previous

    def _stroked(self, places: Sequence[Place]) -> tuple[Place, ...]:
        """These places after the others of the same stroke; only these when there is none."""
        if not self._in_stroke:
            return tuple(places)
        self._stroke_places |= dict.fromkeys(places)
        return tuple(self._stroke_places)

    # From one scenario to the next

    def _commit(
        self,
        changed: Callable[[Scenario], Scenario],
        what: str,
        places: Sequence[Place] = (),
        *,
        stroke: bool = False,
        begins: bool = False,
    ) -> None:
        """Change, solve, and only when both went well let the page see it.

        What cannot be part of a `stroke` ends one that is still open, as keys leave it. What `begins` is
        another array altogether, and is held against nothing that was before.
        """
        if self.locked_now():
            return
        if not stroke:
            self.end_stroke()
        # What is still being worked out is changed further, and only the last is shown.
        waiting = self._wish
        if self.computing and waiting is None:
            self.tell(_("Another array is still being worked out. Wait for it, or undo it."))
            return
        now = self.scenario if waiting is None else waiting.scenario
        amends = self._in_stroke and self._stroke_step is not None if waiting is None else waiting.amends
        begins = begins or (waiting is not None and waiting.begins)
        try:
            check_places(now, places)
            scenario = changed(now)
        except PvsimError as error:
            self._refuse(error)
            return
        within = self._stroke if self._in_stroke else 0
        self._wish = Wish(scenario=scenario, what=what, amends=amends, begins=begins, stroke=within)
        self._carry_out(partial(self._bring, self._wish))
        if not self.computing:
            self._wish = None

    def _bring(self, wish: Wish) -> None:
        """Solve what was wished; where that went well let the page see it."""
        scenario, released, what = wish.scenario, "", wish.what
        try:
            if scenario.operation == self.scenario.operation:
                solution, released = self._settle(scenario)
                scenario = solution.scenario
            else:
                solution = self._solve(scenario)
        except PvsimError as error:
            self._refuse(error)
            return
        if scenario == self.scenario:
            self._update(notice="" if wish.stroke else _("Nothing changes: it is like that already."))
            return
        if wish.amends:
            self._history = past.amend(self._history, scenario, what)
        else:
            self._history = past.add(self._history, scenario, what, begins=wish.begins)
        if wish.stroke == self._stroke:
            self._stroke_step = self._history.current
        previous = None if self._history.current.begins else self._history.previous
        before = self._solve(previous.scenario) if previous else None
        self._publish(scenario, solution, said=result_sentence(what, before, solution), notice=released)

    def _travel(self, move: Callable[[past.History], past.History], what: str) -> None:
        self.end_stroke()
        self._carry_out(partial(self._move, move, what))

    def _move(self, move: Callable[[past.History], past.History], what: str) -> None:
        left, self._history = self._history.index, move(self._history)
        step = self._history.current
        later = self._history.steps[max(left, self._history.index)]
        before = None if later.begins else self.solution
        said = result_sentence(what or step.what, before, self._solve(step.scenario))
        self._publish(step.scenario, self._solve(step.scenario), said=said)

    def _publish(self, scenario: Scenario, solution: ArraySolution, *, said: str, **view: Any) -> None:
        comparison = view.get("comparison", self.comparison)
        values: dict[str, Any] = self._last() if comparison == "last" else {}
        values |= {"scenario": scenario, "solution": solution, "moment": None}
        values |= {"said": said, "notice": "", **view}
        values |= {"can_undo": self._history.can_go_back, "can_redo": self._history.can_go_forward}
        focus = view.get("focus", self.focus)
        values["focus"] = nearest_place(scenario, focus)
        self._update(**values)

    def _last(self) -> dict[str, Any]:
        """What `before` is when the last change is compared: moving the operating point keeps it."""
        step = self._history.compared
        if step is None:
            return {"before": None, "before_scenario": None}
        return {"before": self._solve(step.scenario), "before_scenario": step.scenario}

    def _settled_or_told(self, scenario: Scenario) -> tuple[Scenario, ArraySolution, str] | None:
        """What `_settle` gives, behind its scenario; where that is refused none, and a notice why."""
        try:
            solution, released = self._settle(scenario)
        except PvsimError as error:
            self._refuse(error)
            return None
        return solution.scenario, solution, released

    # What a command that has to wait comes back to

    def _private(self) -> tuple[Any, ...]:
        return self._history, self._origin, self._in_stroke, self._stroke_step

    def _go_back(self, before: tuple[Any, ...]) -> None:
        self._history, self._origin, self._in_stroke, self._stroke_step = before

    def _tell_computing(self, computing: bool) -> None:
        if not computing:
            self._wish = None
        # What is being worked out can be undone, which lets go of it.
        self._update(computing=computing, can_undo=computing or self._history.can_go_back)
