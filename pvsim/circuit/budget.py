"""How long a solve may take: a budget held while it lasts, and asked for in every loop that may run long.

It lies in a context variable, so that no function on the way has to hand it on. Without one a
solve may take as long as it needs.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from time import monotonic

from pvsim.errors import OvertimeError
from pvsim.words import _, brief

# When it ends by the clock, and its length.
_held: ContextVar[tuple[float, float] | None] = ContextVar("pvsim_budget", default=None)


@contextmanager
def within(seconds: float) -> Iterator[None]:
    """Hold a budget; one that is held already and ends sooner stays.

    Parameters
    ----------
    seconds : float
        By the clock on the wall, from now.
    """
    end, held = monotonic() + seconds, _held.get()
    token = _held.set(held if held is not None and held[0] <= end else (end, seconds))
    try:
        yield
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
    if held is not None and monotonic() > held[0]:
        raise OvertimeError(
            _("what was asked for is not solved after {seconds} s").format(seconds=brief(held[1])),
            expected=_("a circuit that is solved within that time"),
            mend=_(
                "Take away faults that join strings or touch earth, make more cells alike, "
                "use heat 'steady', or look for resistances and cells far from real ones"
            ),
        )
