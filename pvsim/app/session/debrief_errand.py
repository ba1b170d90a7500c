"""What a search could have told, or what is offered next, beside the event loop: for up to half a minute.

One thread does it for all sessions, one after the other, and nothing else asks what a session keeps foreseen.
"""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from contextvars import copy_context
from functools import cache, partial
from typing import Any

from bokeh.document import Document

from pvsim.circuit import budget
from pvsim.circuit.budget import Budget
from pvsim.errors import PvsimError
from pvsim.field.search.answer import Answer
from pvsim.field.search.case import SearchCase
from pvsim.field.search.debrief import debrief_of
from pvsim.field.search.foresight import Foresight
from pvsim.field.search.transcript import Transcript

__all__ = ["LONGEST_S", "DebriefErrand"]

LONGEST_S = 600.0  # its waiting in the row counted in; then it is let go

Over = Callable[[Any, str], None]  # what was worked out, or None and what was wrong


class DebriefErrand:
    """One piece of such work of a session; that of all sessions waits in one row, so that pages stay quick.

    Parameters
    ----------
    document : Document or None
        In whose turn what was worked out comes; without one that is done where it is started.
    """

    def __init__(self, document: Document | None) -> None:
        self._document = document
        self._given = Budget(LONGEST_S)

    def start(
        self,
        case: SearchCase,
        transcript: Transcript,
        answers: tuple[Answer, ...],
        over: Over,
        foresight: Foresight | None = None,
    ) -> None:
        """Work out a debrief; `over` hears of it, or of what was wrong."""
        self.send(partial(debrief_of, case, transcript, answers, foresight), over)

    def send(self, work: Callable[[], Any], over: Over) -> None:
        """Work something out; `over` hears of it, or of what was wrong."""
        if self._document is None:
            over(*_worked(work, self._given))
            return
        spoken = copy_context()

        def here(job: Future[tuple[Any, str]]) -> None:
            spoken.run(self._arrive, over, job)

        job = _row().submit(copy_context().run, _worked, work, self._given)
        job.add_done_callback(partial(self._hand_over, here))

    def give_up(self) -> None:
        """Nobody hears of it any more."""
        self._given.taken_back = True

    def _hand_over(
        self,
        here: Callable[[Future[tuple[Any, str]]], None],
        job: Future[tuple[Any, str]],
    ) -> None:
        if not self._given.taken_back and self._document is not None:
            self._document.add_next_tick_callback(partial(here, job))

    def _arrive(self, over: Over, job: Future[tuple[Any, str]]) -> None:
        if not self._given.taken_back:
            over(*job.result())


def _worked(work: Callable[[], Any], given: Budget) -> tuple[Any, str]:
    try:
        with budget.hold(given):
            return work(), ""
    except PvsimError as error:
        return None, str(error)


@cache
def _row() -> ThreadPoolExecutor:
    return ThreadPoolExecutor(1, thread_name_prefix="pvsim-debrief")
