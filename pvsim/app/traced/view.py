"""A measured curve on the page: a dialog that is built when it is first opened."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from pvsim.app.component import Reply
from pvsim.app.session.state import State
from pvsim.app.words import _

if TYPE_CHECKING:
    from pvsim.app.traced.desk import Desk

__all__ = ["TracedView"]


class TracedView:
    """Carries out what is asked for in the dialog, which is a guest of the page's frame.

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
        self._state = state
        self._desk: Desk | None = None
        self.say: Callable[[Reply], None] = lambda _reply: None

    def obey(self, wish: Any) -> Reply:
        """Carry out one wish.

        Parameters
        ----------
        wish : dict
            What to do in `act`, with what in `value`; not trusted.

        Returns
        -------
        dict
            What static/traced/traced.js is told.
        """
        if self._desk is None:
            from pvsim.app.traced.desk import Desk  # late: most pages never open it

            self._desk = Desk(self._state, lambda reply: self.say(reply))
        name, value = (wish.get("act"), wish.get("value")) if isinstance(wish, dict) else ("", None)
        act: Callable[[Any], Reply] | None = self._desk.acts.get(name) if isinstance(name, str) else None
        if act is None:
            return {"told": _("The page asked for something this version does not know. Reload the page.")}
        return act(value)
