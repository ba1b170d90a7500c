"""The data sheet on the page: a dialog that is built when it is first opened."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from pvsim.app.component import Reply
from pvsim.app.session.state import State
from pvsim.app.words import _

if TYPE_CHECKING:
    from pvsim.app.sheet.desk import Desk

__all__ = ["SheetView"]


class SheetView:
    """Carries out what is asked for in the dialog, which is a guest of the page's frame.

    It has no component of its own, so that a page in which nobody opens it is not dearer. What is typed
    stays in the browser: each wish brings the fields it is about, and the session keeps nothing of a sheet
    before it is used.

    Parameters
    ----------
    state : State
        On whose roof the module goes.
    """

    def __init__(self, state: State) -> None:
        self._state = state
        self._desk: Desk | None = None

    def obey(self, wish: Any) -> Reply:
        """Carry out one wish.

        Parameters
        ----------
        wish : dict
            What to do in `act`, with what in `value`; not trusted.

        Returns
        -------
        dict
            What static/sheet/sheet.js is told.
        """
        if self._desk is None:
            from pvsim.app.sheet.desk import Desk  # late: most pages never open it

            self._desk = Desk(self._state)
        name, value = (wish.get("act"), wish.get("value")) if isinstance(wish, dict) else ("", None)
        act: Callable[[Any], Reply] | None = self._desk.acts.get(name) if isinstance(name, str) else None
        if act is None:
            return {"told": _("The page asked for something this version does not know. Reload the page.")}
        return act(value)
