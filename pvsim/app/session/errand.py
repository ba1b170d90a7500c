"""Long solves of a session, beside the event loop: one at a time, and the last that was asked for counts.

A usual change is solved where it is asked for, in some milliseconds. What has not come after INLINE_S
of this thread's own work is begun again in another thread, and so is what comes after it, until a
solve has been short again. Threads take turns with the event loop every few milliseconds, which is
enough for it: no single operation of a solve takes longer than a tenth of a second.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from concurrent.futures import Future, ThreadPoolExecutor
from contextvars import copy_context
from functools import cache, partial
from time import thread_time
from typing import Any

from bokeh.document import Document

from pvsim.circuit import budget
from pvsim.circuit.budget import Budget
from pvsim.errors import OvertimeError

__all__ = ["LONGEST_S", "Errand", "NotYet"]

INLINE_S = 0.12  # of work, whatever else the machine does
LONGEST_S = 4.5  # by the clock; then it is refused
THREADS = 2


class NotYet(Exception):
    """What was asked for takes long; it can be sent for.

    Parameters
    ----------
    key : hashable
        What `Errand.here` will be asked for again.
    work : callable
        What gives it.
    """

    def __init__(self, key: Hashable, work: Callable[[], Any]) -> None:
        super().__init__(key)
        self.key, self.work = key, work


class Errand:
    """The solves of one session that take long.

    Parameters
    ----------
    document : Document
        The session's, in whose turn what has come is handed over.
    longest_s : float or None
        By the clock; then it is refused. None for LONGEST_S.
    crew : str
        Whose threads do it: errands of one crew wait for each other, and for no others.
    """

    def __init__(self, document: Document, *, longest_s: float | None = None, crew: str = "solve") -> None:
        self.document = document
        self._longest_s, self._crew = longest_s, crew
        self._slow = False
        self._found: dict[Hashable, Any] = {}
        self._given: Budget | None = None

    def here(self, key: Hashable, work: Callable[[], Any]) -> Any:
        """What `work` gives, if that is done soon or has been sent for.

        Raises
        ------
        NotYet
            If it is not.
        PvsimError
            As the work.
        """
        if self._found and key in self._found:  # seldom any: a key takes long to look up
            found = self._found.pop(key)
            if isinstance(found, Exception):
                raise found
            return found
        if not self._slow:
            with budget.within(INLINE_S, clock=thread_time) as given:
                try:
                    return work()
                except OvertimeError:
                    if given.over() is not given:
                        raise
                    self._slow = True
        raise NotYet(key, work)

    def send(self, away: NotYet, arrived: Callable[[], None]) -> None:
        """Have it worked out in a thread, in place of what was sent for before; then call `arrived`."""
        self.give_up()
        given = self._given = Budget(LONGEST_S if self._longest_s is None else self._longest_s)
        job = _threads(self._crew).submit(copy_context().run, _worked, away.work, given)
        there = partial(copy_context().run, self._arrive, given, away.key, job, arrived)

        def hand_over(job: Future[Any]) -> None:
            if not given.taken_back:
                self.document.add_next_tick_callback(there)

        job.add_done_callback(hand_over)

    def give_up(self) -> None:
        """Let go of what was sent for."""
        if self._given is not None:
            self._given.taken_back = True
            self._given = None

    def _arrive(self, given: Budget, key: Hashable, job: Future[Any], arrived: Callable[[], None]) -> None:
        if self._given is given:
            found, took_s = job.result()
            self._given, self._slow = None, took_s > 0.5 * INLINE_S
            self._found = {key: found}
            arrived()


def _worked(work: Callable[[], Any], given: Budget) -> tuple[Any, float]:
    """What the work gives or why it does not, and how long this thread worked."""
    began = thread_time()
    found: Any
    try:
        with budget.hold(given):
            found = work()
    except Exception as error:  # raised where it is asked for, so that nobody waits on after an error
        found = error
    return found, thread_time() - began


@cache
def _threads(crew: str) -> ThreadPoolExecutor:
    return ThreadPoolExecutor(THREADS, thread_name_prefix=f"pvsim-{crew}")
