"""What belongs to the page as a whole and shows nothing of its own: address, keys, looks, connection."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any
from uuid import uuid4

import param
from panel.viewable import Child

from pvsim.app.component import Component, Reply, Wish
from pvsim.app.modules import module_address
from pvsim.app.plain import Keyed, Plain, plain_values
from pvsim.app.session.address import page_address
from pvsim.app.session.following import Following
from pvsim.app.session.shown import SHOWN, show_again, shown_of
from pvsim.app.session.state import State
from pvsim.app.shell.opened_file import open_file
from pvsim.app.words import _
from pvsim.array.place import SHOWN_LEVELS

__all__ = ["FrameView"]

ADDRESSED = (
    *("scenario", "focus", "level", "quantity", "lesson", "view", "unfolded"),
    *("comparison", "before_scenario"),
)  # what the address tells of
COVERED = ("curves", "levels")  # regions of the page; the drawing keeps its figures back by itself


class Frame(Component):
    """The browser's side: what it hears becomes wishes, what it must do is in the parameters."""

    looks = param.Dict(default={}, doc="Theme, type size, and whether single letters are keys.")
    revision = param.Integer(0, doc="Rises when the address no longer fits the state.")
    shown = plain_values("What is shown: a step of the browser's history; see shown_of.")
    session = param.String(doc="Of this page alone: tells the browser of a server started anew.")
    words = plain_values("Texts that never change.")
    title = param.String(doc="What the array on the bench is called.")
    day = Child(default=None, allow_None=True, doc="A day on the roof, from when somebody first opened it.")
    field = Child(default=None, allow_None=True, doc="The field desk, from when somebody first opened it.")
    hides = param.String(doc="Regions that are covered until a prediction is given, apart by spaces.")

    _esm = module_address("shell/frame.js")


class FrameView:
    """Keeps address and looks in step with the state and carries page-wide keys to its commands.

    Parameters
    ----------
    state : State
    guests : mapping of str to callable
        Parts of the page that have no component of their own. A wish so named, `{"do": "sheet", "value":
        {...}}`, goes to the callable, and what that gives back is told under the same name.
    """

    def __init__(self, state: State, guests: Mapping[str, Callable[[Any], Reply]] | None = None) -> None:
        self._state = state
        self._guests = guests or {}
        self._told: set[str] = set()
        words = {
            "lost": _(
                "The connection to pvsim is lost. What you did is kept, what you press now is not. Trying…"
            ),
            "again": _("Try again"),
            "back": _("Connected again."),
        }
        self.root = Frame(
            self._obey, looks=self._looks(), words=Keyed(words), session=uuid4().hex, width=0, height=0
        )
        self._name()
        self._tell_shown()
        self._cover()
        calls = {
            self._dress: ("theme", "large", "keys"),
            self._name: ("scenario",),
            self._tell_shown: SHOWN,
            self._cover: ("kept_back",),
            self._outdate: ADDRESSED,
        }
        Following(state, calls)

    def _looks(self) -> dict[str, Any]:
        state = self._state
        return {"theme": state.theme, "large": state.large, "keys": state.keys}

    def _dress(self, *_events: object) -> None:
        self.root.looks = self._looks()

    def _name(self, *_events: object) -> None:
        self.root.put(title=_(self._state.scenario.title))

    def _cover(self, *_events: object) -> None:
        self.root.hides = " ".join(one for one in self._state.kept_back if one in COVERED)

    def _tell_shown(self, *_events: object) -> None:
        shown = Plain(shown_of(self._state))
        if shown != self.root.shown:  # Bokeh finds out late that nothing is new
            self.root.put(shown=shown)

    def _outdate(self, *_events: object) -> None:
        self.root.put(revision=self.root.revision + 1)

    def _address(self) -> dict[str, Any]:
        query, kept = page_address(self._state)
        if kept:
            self._tell_once(
                "tab",
                _(
                    "This array is too large for the page's address. This tab keeps it, also when pvsim is "
                    "started anew; save it as a file to keep it for longer."
                ),
            )
        return {"address": query, "bench": kept}

    def _unkept(self, *, array: bool) -> tuple[str, str]:
        """What the browser could not keep, and how that is said."""
        if array:
            return "array unkept", _(
                "This array is too large for an address, and this browser has no room: save it as a file."
            )
        return "unkept", _(
            "This browser keeps nothing for pvsim: what is not saved as a file is gone when this page is "
            "closed or loaded anew."
        )

    def _tell_once(self, what: str, notice: str) -> None:
        if what not in self._told:
            self._told.add(what)
            self._state.tell(notice)

    def tell(self, guest: str, reply: Reply) -> None:
        """Tell a guest's script something, as an answer or because it has come meanwhile."""
        self.root.tell({guest: reply})

    def _obey(self, wish: Wish) -> Reply:
        state, do, value = self._state, wish["do"], wish.get("value")
        if do in self._guests:
            self.tell(do, self._guests[do](value))
            return None
        if do == "seated":  # the message alone counts: see static/shell/frame.js
            return None
        if do == "address":
            return self._address()
        if do == "bench":  # what the tab has kept, asked for by the address it opened
            self._told.add("tab")
            state.open_kept(str(value))
            return None if state.notice else self._address()  # what was refused stays where it is kept
        if do == "search":  # what the tab has kept of one
            state.resume_search(str(value))
            return None
        if do == "show":
            show_again(state, value)
            return {"shown": True}
        if do == "unkept":
            self._tell_once(*self._unkept(array=value == "array"))
        elif do == "looks" and isinstance(value, dict):
            theme = value.get("theme")
            state.show(
                theme=theme if theme in ("light", "dark") else None,
                large=bool(value.get("large")),
                keys=bool(value.get("keys", True)),
            )
        elif do == "open":  # a file that was dropped
            open_file(state, value)
        elif do in ("undo", "redo"):
            getattr(state, do)()
        elif do == "keep":
            if state.comparison == "kept":
                state.drop_before()
            else:
                state.keep_before()
        elif do == "level" and isinstance(value, int) and 1 <= value <= len(SHOWN_LEVELS):
            state.set_level(SHOWN_LEVELS[value - 1])
        elif do == "worst":
            state.show_worst_cell()
        elif do == "theme":
            state.show(theme="light" if state.theme == "dark" else "dark")
        elif do == "large":
            state.show(large=not state.large)
        return None
