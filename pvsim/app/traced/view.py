"""A measured curve on the page: a dialog that is built when it is first opened."""

from __future__ import annotations

from collections.abc import Callable

from pvsim.app.component import Reply
from pvsim.app.guest import Guest, GuestDesk
from pvsim.app.session.state import State

__all__ = ["TracedView"]


class TracedView(Guest):
    """Carries out what is asked for in the measured curve's dialog.

    The curve is kept by this session alone: it goes into no scenario, file or address.

    Parameters
    ----------
    state : State
        Whose array the curve is held against.

    Attributes
    ----------
    say : callable
        Tells the dialog what was worked out beside the event loop; the page gives it.
    """

    def __init__(self, state: State) -> None:
        self.say: Callable[[Reply], None] = lambda _reply: None

        def make_desk() -> GuestDesk:
            from pvsim.app.traced.desk import Desk  # late: most pages never open it

            return Desk(state, lambda reply: self.say(reply))

        super().__init__(make_desk)
