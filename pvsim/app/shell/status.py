"""The line at the foot: what the last change did, what went wrong, and the caution."""

from __future__ import annotations

import param

from pvsim.app.assets import css
from pvsim.app.component import Component, Wish
from pvsim.app.modules import module_address
from pvsim.app.plain import Keyed, plain_values
from pvsim.app.session.following import Following
from pvsim.app.session.state import State
from pvsim.app.words import _

__all__ = ["StatusView"]


class StatusLine(Component):
    """Live regions for the spoken result and the notice."""

    said = param.String()
    notice = param.String()
    words = plain_values("Texts that never change.")

    _esm = module_address("shell/status.js")


class StatusView:
    """Shows `said` and `notice` of the state."""

    def __init__(self, state: State) -> None:
        self._state = state
        words = {
            "dismiss": _("Close this message"),
            "long": _("pvsim teaches; it is no design or safety tool.")
            + " "
            + _("Modules are live whenever light falls on them."),
            "short": _("pvsim is no safety tool. Modules are live in any light."),
            "more": _("Cautions"),
        }
        self.root = StatusLine(
            self._obey,
            words=Keyed(words),
            said=state.said,
            notice=state.notice,
            stylesheets=[css("controls"), css("shell/status")],
            sizing_mode="stretch_width",
        )
        Following(state, {self._redraw: ["said", "notice", "computing"]})
        self._redraw()

    def _obey(self, wish: Wish) -> None:
        if wish["do"] == "dismiss":
            self._state.tell("")

    def _redraw(self, *_events: object) -> None:
        state = self._state
        said = _("This takes a few seconds to work out …") if state.computing else state.said
        self.root.put(said=said, notice=state.notice)
