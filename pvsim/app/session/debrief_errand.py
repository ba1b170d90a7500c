"""What a search could have told, or what is offered next, beside the event loop: for some seconds each.

One thread does it for all sessions, and nothing else asks what is foreseen. Sessions take turns in it, a part
of a debrief each, so that a class that ends at once has its first lines at once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextvars import Context, copy_context
from functools import cache, partial
from time import monotonic
from typing import Any

from bokeh.document import Document

from pvsim.app.words import _
from pvsim.circuit import budget
from pvsim.circuit.budget import Budget
from pvsim.errors import PvsimError
from pvsim.field.search.answer import Answer
from pvsim.field.search.case import SearchCase
from pvsim.field.search.debrief import Verdict, debriefing
from pvsim.field.search.foresight import Foresight
from pvsim.field.search.transcript import Transcript

__all__ = ["LONGEST_S", "DebriefErrand"]

LONGEST_S = 600.0  # its waiting in the row counted in; then it is let go

TELL_s = 0.5  # from one message of what there is so far to the next

Over = Callable[[Any, str], None]  # what was worked out, or None and what was wrong
SoFar = Callable[[Verdict], None]


class DebriefErrand:
    """One piece of such work of a session; that of all sessions waits in one row, so that pages stay quick.

    Parameters
    ----------
    document : Document or None
        In whose turn what was worked out comes; without one that is done where it is started.

    Attributes
    ----------
    why : str
        What was wrong, as a clause; "" where nothing was.
    """

    def __init__(self, document: Document | None) -> None:
        self._document = document
        self._given = Budget(LONGEST_S)
        self.why = ""

    def start(
        self,
        case: SearchCase,
        transcript: Transcript,
        answers: tuple[Answer, ...],
        over: Over,
        *,
        foresight: Foresight | None = None,
        so_far: SoFar = lambda _part: None,
    ) -> None:
        """Work out a debrief; `over` hears of it, or of what was wrong.

        Parameters
        ----------
        so_far : callable
            Hears of what has been worked out by then, once in a while.
        """
        self._begin(debriefing(case, transcript, answers, foresight), over, so_far)

    def send(self, work: Callable[[], Any], over: Over) -> None:
        """Work something out; `over` hears of it, or of what was wrong."""
        self._begin((one() for one in (work,)), over, lambda _part: None)

    def give_up(self) -> None:
        """Nobody hears of it any more."""
        self._given.taken_back = True

    def _begin(self, parts: Iterator[Any], over: Over, so_far: SoFar) -> None:
        job = _Job(parts, self._given)
        if self._document is None:
            while not job.ended:
                job.go_on()
            self._end(over, job.last, job.error)
            return
        _row().submit(self._turn, job, copy_context(), over, so_far, monotonic())

    def _turn(self, job: _Job, spoken: Context, over: Over, so_far: SoFar, told_s: float) -> None:
        """One part; then the others in the row, and the next one behind them."""
        if self._given.taken_back:
            return
        try:
            spoken.run(job.go_on)
        except Exception as error:  # an error of pvsim's own: heard of like any other, and raised there
            self._hand_over(spoken, partial(self._broken, over, error))
            return
        if job.ended:
            self._hand_over(spoken, partial(self._end, over, job.last, job.error))
            return
        if monotonic() - told_s > TELL_s:
            told_s = monotonic()
            self._hand_over(spoken, partial(so_far, job.last))
        _row().submit(self._turn, job, spoken, over, so_far, told_s)

    def _hand_over(self, spoken: Context, told: Callable[[], None]) -> None:
        """Have the session hear of something in its own turn, in its own language."""
        if not self._given.taken_back and self._document is not None:
            self._document.add_next_tick_callback(partial(spoken.copy().run, self._arrive, told))

    def _end(self, over: Over, last: Any, error: PvsimError | None) -> None:
        self.why = "" if error is None else error.wrong
        over(last, "" if error is None else str(error))

    def _broken(self, over: Over, error: Exception) -> None:
        wrong = PvsimError(
            _("pvsim itself has an error here ({name})").format(name=type(error).__name__),
            expected=_("no error"),
            mend=_("Try once more, and report it if it comes back"),
        )
        self._end(over, None, wrong)
        raise error

    def _arrive(self, told: Callable[[], None]) -> None:
        if not self._given.taken_back:
            told()


class _Job:
    """Parts that are worked out one after the other; the last one counts."""

    def __init__(self, parts: Iterator[Any], given: Budget) -> None:
        self._parts, self._given = parts, given
        self.last: Any = None
        self.error: PvsimError | None = None
        self.ended = False

    def go_on(self) -> None:
        """The next part; after the last, or where one cannot be, it has ended."""
        try:
            with budget.hold(self._given):
                self.last = next(self._parts)
        except StopIteration:
            self.ended = True
        except PvsimError as error:
            self.last, self.error, self.ended = None, error, True


@cache
def _row() -> ThreadPoolExecutor:
    return ThreadPoolExecutor(1, thread_name_prefix="pvsim-debrief")
