"""The data sheet on the page: a dialog that is built when it is first opened."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from pvsim.app.component import Component, Reply, Wish
from pvsim.app.modules import module_address
from pvsim.app.session.state import State
from pvsim.app.words import _

if TYPE_CHECKING:
    from pvsim.app.sheet.desk import Desk

__all__ = ["SheetView"]


class SheetDialog(Component):
    """The browser's side; it holds nothing until somebody opens it, and what it shows comes with answers."""

    _esm = module_address("sheet/sheet.js")


class SheetView:
    """Carries out what is asked for in the dialog.

    What is typed stays in the browser: each wish brings the fields it is about, so that the session keeps
    nothing of a sheet before it is used.

    Parameters
    ----------
    state : State
        On whose roof the module goes.
    """

    def __init__(self, state: State) -> None:
        self._state = state
        self._desk: Desk | None = None
        self.root = SheetDialog(self._obey, width=0, height=0)

    def _obey(self, wish: Wish) -> Reply:
        if self._desk is None:
            from pvsim.app.sheet.desk import Desk  # late: most pages never open it

            self._desk = Desk(self._state)
        act: Callable[[Any], Reply] | None = self._desk.acts.get(wish["do"])
        if act is None:
            self._state.tell(_("The page asked for something this version does not know. Reload the page."))
            return None
        return act(wish.get("value"))
