"""The top bar: scenario, undo, comparison, light, temperature, array, operation, files, looks, help."""

from __future__ import annotations

import param

from pvsim.app.assets import css
from pvsim.app.component import Component, Reply, Wish
from pvsim.app.modules import module_address
from pvsim.app.plain import Keyed, plain_values
from pvsim.app.session.following import Following
from pvsim.app.session.state import State
from pvsim.app.shell.bar_actions import ACTIONS, FieldsRefused
from pvsim.app.shell.bar_layout import bar_layout
from pvsim.app.shell.bar_values import bar_values
from pvsim.app.words import _
from pvsim.errors import PvsimError

__all__ = ["TopBarView"]

WATCHED = (
    *("scenario", "solution", "comparison", "can_undo", "can_redo"),
    *("theme", "large", "keys", "level", "focus", "moment", "surface", "surface_row"),
    *("ratings", "limits", "earth_readings", "earth"),
)


class TopBar(Component):
    """Draws the bar; every press and every number comes back as a wish."""

    layout_of_bar = plain_values("What stands in the bar; set once.")
    values = plain_values("What its buttons and fields show now.")
    wrong = param.Dict(default={}, doc="By field, why the number typed there cannot be used.")

    _esm = module_address("shell/top_bar.js")


class TopBarView:
    """Shows the settings of the state and carries the bar's messages to its commands."""

    def __init__(self, state: State) -> None:
        self._state = state
        self.root = TopBar(
            self._obey,
            layout_of_bar=Keyed(bar_layout()),
            values=Keyed(bar_values(state)),
            stylesheets=[css("controls"), css("shell/top_bar")],
            sizing_mode="stretch_width",
        )
        Following(state, {self._redraw: WATCHED})

    def _redraw(self, *_events: object) -> None:
        self.root.put(values=Keyed(bar_values(self._state)))

    def _obey(self, wish: Wish) -> Reply:
        """Carry out one wish; a number that cannot be used is answered beside its field."""
        name = wish["do"]
        if name not in ACTIONS:
            self._state.tell(_("The page asked for something this version does not know. Reload the page."))
            return None
        try:
            reply = ACTIONS[name](self._state, wish.get("value"))
        except FieldsRefused as error:
            self.root.wrong = error.sentences
            return None
        except PvsimError as error:
            self.root.wrong = {name: str(error)}
            return None
        if self.root.wrong:
            self.root.wrong = {}
        return reply
