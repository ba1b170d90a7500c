"""The data sheet on the page: a dialog that is built when it is first opened."""

from __future__ import annotations

from pvsim.app.guest import Guest, GuestDesk
from pvsim.app.session.state import State

__all__ = ["SheetView"]


class SheetView(Guest):
    """Carries out what is asked for in the data sheet's dialog.

    What is typed stays in the browser: each wish brings the fields it is about, and the session keeps nothing
    of a sheet before it is used.

    Parameters
    ----------
    state : State
        On whose roof the module goes.
    """

    def __init__(self, state: State) -> None:
        def make_desk() -> GuestDesk:
            from pvsim.app.sheet.desk import Desk  # late: most pages never open it

            return Desk(state)

        super().__init__(make_desk)
