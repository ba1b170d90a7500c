"""What a session has solved, and how a command waits for a solve that takes long."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from functools import partial
from typing import Any

import param
from bokeh.document import Document

from pvsim.app.session.errand import LONGEST_S, Errand, NotYet
from pvsim.app.session.following import Followed
from pvsim.array.held_current import solve_or_release
from pvsim.array.identity_memo import IdentityMemo
from pvsim.array.scenario import Scenario
from pvsim.array.solution import ArraySolution
from pvsim.array.solve import solve_array
from pvsim.circuit import budget

__all__ = ["KEPT_SOLUTIONS", "Solved", "opened"]

POINTS = 60  # of trackers' characteristics: what is drawn of them is solved as far as its axes reach
KEPT_SOLUTIONS = 6  # so that undo and redo by a few steps need no solve

_opened: IdentityMemo[tuple[ArraySolution, str]] = IdentityMemo(4)


def opened(scenario: Scenario) -> tuple[ArraySolution, str]:
    """As `solve_or_release`, once for all pages that open with the same scenario.

    Raises
    ------
    PvsimError
        If it cannot be solved.
    """

    def make() -> tuple[ArraySolution, str]:
        with budget.within(LONGEST_S):
            return solve_or_release(scenario, points=POINTS)

    return _opened.get((scenario,), make)


class Solved(Followed):
    """Solutions, each worked out once, at once or beside the event loop."""

    computing = param.Boolean(False, doc="Whether what was asked for last is still being worked out.")
    errand: Errand | None = None  # what works beside the event loop; the page gives it

    def __init__(self, **params: Any) -> None:
        self._solutions: list[ArraySolution] = []  # the one asked for last at the end
        self._may_wait = False
        self._next: list[Callable[[], None]] = []
        super().__init__(**params)

    @property
    def document(self) -> Document | None:
        """The page's, where one is open: in whose turn something can be done later."""
        return None if self.errand is None else self.errand.document

    def when_there(self, command: Callable[[], None]) -> None:
        """Call now, or as soon as what is being worked out has come or was refused."""
        if self.computing:
            self._next.append(command)
        else:
            command()

    def _solve(self, scenario: Scenario) -> ArraySolution:
        known = self._known(scenario)
        if known is not None:
            return known
        return self._keep(self._worked(("solve", scenario), partial(solve_array, scenario, points=POINTS)))

    def _settle(self, scenario: Scenario) -> tuple[ArraySolution, str]:
        """The solution, where a break has let go of a held current the one at the MPP; and what to say."""
        known = self._known(scenario)
        if known is not None:
            return known, ""
        settle = partial(solve_or_release, scenario, points=POINTS)
        solution, released = self._worked(("settle", scenario), settle)
        return self._keep(solution), released

    def _worked(self, key: tuple[str, Hashable], work: Callable[[], Any]) -> Any:
        if self.errand is not None and self._may_wait:
            return self.errand.here(key, work)
        with budget.within(LONGEST_S):
            return work()

    def _known(self, scenario: Scenario) -> ArraySolution | None:
        """What has been solved of late; scenarios share their parts, so that few steps tell them apart."""
        for number, solution in enumerate(self._solutions):
            if solution.scenario == scenario:
                self._solutions.append(self._solutions.pop(number))
                return solution
        return None

    def _keep(self, solution: ArraySolution) -> ArraySolution:
        if self._known(solution.scenario) is not None:
            self._solutions.pop()  # solved once more: the later one counts
        self._solutions.append(solution)
        del self._solutions[:-KEPT_SOLUTIONS]
        return solution

    def _carry_out(self, command: Callable[[], None]) -> None:
        """Run a command; where a solve of it takes long, run it again when that has come.

        Until then all stays as it was, and the page says that it computes.
        """
        before = self._private()
        self._may_wait = True
        try:
            command()
        except NotYet as away:
            self._go_back(before)
            assert self.errand is not None
            self.errand.send(away, partial(self._arrived, command))
            self._tell_computing(True)
        else:
            self._done()
        finally:
            self._may_wait = False

    def _arrived(self, command: Callable[[], None]) -> None:
        self._carry_out(command)

    def _let_go(self) -> bool:
        """Let go of what is being worked out; whether anything was."""
        waited = self.computing
        self._done()
        return waited

    def _done(self) -> None:
        if self.computing:
            if self.errand is not None:
                self.errand.give_up()
            self._tell_computing(False)
            after, self._next = self._next, []
            for command in after:
                self.when_there(command)

    def _tell_computing(self, computing: bool) -> None:
        raise NotImplementedError

    def _private(self) -> tuple[Any, ...]:
        """What a command changes before it is published, to come back to."""
        raise NotImplementedError

    def _go_back(self, before: tuple[Any, ...]) -> None:
        raise NotImplementedError
