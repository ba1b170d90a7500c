"""What a search could have told, worked out beside the event loop: seconds, at high levels half a minute."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from contextvars import copy_context
from functools import cache, partial

from bokeh.document import Document

from pvsim.circuit import budget
from pvsim.circuit.budget import Budget
from pvsim.errors import PvsimError
from pvsim.field.search.answer import Answer
from pvsim.field.search.case import SearchCase
from pvsim.field.search.debrief import Debrief, debrief_of
from pvsim.field.search.transcript import Transcript

__all__ = ["LONGEST_S", "DebriefErrand"]

LONGEST_S = 600.0  # its waiting in the row counted in; then it is let go

Over = Callable[[Debrief | None, str], None]


class DebriefErrand:
    """One debrief of a session; those of all sessions wait in one row, so that pages stay quick.

    Parameters
    ----------
    document : Document or None
        In whose turn the debrief comes; without one it is worked out where it is started.
    """

    def __init__(self, document: Document | None) -> None:
        self._document = document
        self._given = Budget(LONGEST_S)

    def start(
        self, case: SearchCase, transcript: Transcript, answers: tuple[Answer, ...], over: Over
    ) -> None:
        """Work it out; `over` hears of it, or of what was wrong."""
        work = partial(debrief_of, case, transcript, answers)
        if self._document is None:
            over(*_worked(work, self._given))
            return
        spoken = copy_context()

        def here(job: Future[tuple[Debrief | None, str]]) -> None:
            spoken.run(self._arrive, over, job)

        job = _row().submit(copy_context().run, _worked, work, self._given)
        job.add_done_callback(partial(self._hand_over, here))

    def give_up(self) -> None:
        """Nobody hears of it any more."""
        self._given.taken_back = True

    def _hand_over(
        self,
        here: Callable[[Future[tuple[Debrief | None, str]]], None],
        job: Future[tuple[Debrief | None, str]],
    ) -> None:
        if not self._given.taken_back and self._document is not None:
            self._document.add_next_tick_callback(partial(here, job))

    def _arrive(self, over: Over, job: Future[tuple[Debrief | None, str]]) -> None:
        if not self._given.taken_back:
            over(*job.result())


def _worked(work: Callable[[], Debrief], given: Budget) -> tuple[Debrief | None, str]:
    try:
        with budget.hold(given):
            return work(), ""
    except PvsimError as error:
        return None, str(error)


@cache
def _row() -> ThreadPoolExecutor:
    return ThreadPoolExecutor(1, thread_name_prefix="pvsim-debrief")
