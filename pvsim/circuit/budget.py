"""How long a solve may take: a budget held while it lasts, and asked for in every loop that may run long.

It lies in a context variable, so that no function on the way has to hand it on. Without one a
solve may take as long as it needs.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from time import monotonic

from pvsim.errors import OvertimeError
from pvsim.numbers import short_number
from pvsim.words import _

Clock = Callable[[], float]


class Budget:
    """Time that is given; whoever holds it may also take it back, from another thread.

    Parameters
    ----------
    seconds : float
        From now.
    clock : callable or None
        None for the clock on the wall.
    outer : Budget or None
        One that was held already: what ends first counts.
    """

    __slots__ = ("_clock", "_end", "_outer", "seconds", "taken_back")

    def __init__(self, seconds: float, clock: Clock | None = None, outer: Budget | None = None) -> None:
        self.seconds = seconds
        self.taken_back = False
        self._clock, self._outer = clock, outer
        self._end = (clock or monotonic)() + seconds

    def over(self) -> Budget | None:
        """The budget that is used up, this or an outer one; None while there is time."""
        if self.taken_back or (self._clock or monotonic)() > self._end:
            return self
        return self._outer.over() if self._outer is not None else None


_held: ContextVar[Budget | None] = ContextVar("pvsim_budget", default=None)


@contextmanager
def within(seconds: float, *, clock: Clock | None = None) -> Iterator[Budget]:
    """Hold a budget beside those that are held already.

    Parameters
    ----------
    seconds : float
        From now.
    clock : callable or None
        What tells the time, such as `time.thread_time`; None for the clock on the wall.
    """
    with hold(Budget(seconds, clock, _held.get())) as given:
        yield given


@contextmanager
def hold(given: Budget) -> Iterator[Budget]:
    """Hold a budget that was given elsewhere, and only that one."""
    token = _held.set(given)
    try:
        yield given
    finally:
        _held.reset(token)


def check() -> None:
    """Give up when the budget is used up.

    Raises
    ------
    OvertimeError
        If one is held and its time is over.
    """
    held = _held.get()
    ended = held.over() if held is not None else None
    if ended is not None:
        raise OvertimeError(
            _("what was asked for is not solved after {seconds} s").format(
                seconds=short_number(ended.seconds)
            ),
            expected=_("a circuit that is solved within that time"),
            mend=_(
                "Take away faults that join strings or touch earth, make more cells alike, "
                "use heat 'steady', or look for resistances and cells far from real ones"
            ),
        )
