"""Plain pages: HTML without a session of Bokeh's, for phones and the notes window."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from tornado.web import RequestHandler
from tornado.websocket import WebSocketHandler

from pvsim.app.door.hosts import ears_of, shut_out
from pvsim.app.door.names import Names
from pvsim.app.door.policy import COMMON_HEADERS, plain_policy
from pvsim.app.language import session_language
from pvsim.app.plain_page import plain_page
from pvsim.app.room.gate import Gate
from pvsim.app.room.hub import Hub

if TYPE_CHECKING:
    from pvsim.errors import StoreError
    from pvsim.store import RoomState

__all__ = ["PlainPage", "PlainSocket", "read_message"]

MAX_MESSAGE = 2048  # bytes; an answer has a hundred
PING_s = 20  # a phone that went away is noticed, and one behind a forgetful router kept


class Plain(RequestHandler):
    """What pages and sockets have in common."""

    def initialize(self, hub: Hub, gate: Gate, language: str, names: Names) -> None:
        """Remember what the page is about.

        Parameters
        ----------
        hub : Hub
        gate : Gate
        language : str
            What the server was told to speak; "" for what the browser likes best.
        names : Names
            Of the server.
        """
        self.hub, self.gate, self._usual, self._names = hub, gate, language, names

    @property
    def speaks(self) -> str:
        """The code of the language in which this page is spoken to."""
        query = self.request.query_arguments  # as bytes: a broken one must not keep anybody out
        return session_language(query, {}, dict(self.request.headers), self._usual)


class PlainPage(Plain):
    """A page that keeps nothing in the browser, loads nothing from elsewhere and runs no script of a text."""

    def set_default_headers(self) -> None:
        """Nothing from elsewhere, and no copy anywhere."""
        for name, value in COMMON_HEADERS.items():
            self.set_header(name, value)
        self.set_header("Content-Security-Policy", plain_policy(self.request.host or ""))
        self.set_header("Cache-Control", "no-store")

    def show(self, template: str, **values: Any) -> None:
        """Send a page."""
        self.write(plain_page(template, language=self.speaks, **values))


class PlainSocket(Plain, WebSocketHandler):
    """A web socket of a plain page: short messages, and only from a page of this server.

    One that was let in stands in `code`'s room, and is counted at the gate until it goes.
    """

    code = ""
    inside = False
    _leave: Callable[[], None] | None = None

    def prepare(self) -> None:
        """Before anything else: whose page is it?"""
        shut_out(self, self._names)

    def check_origin(self, origin: str) -> bool:
        """Pages of this server alone; that an origin is the Host of the request says nothing of it."""
        return self._names.trusts(origin, ears_of(self.request))

    def come_in(self, typed: str) -> bool:
        """Let it into the room of a code; without room for it the connection ends."""
        from pvsim.store.room import read_code  # loads the store's packages

        code = read_code(typed)
        if code is None or not self.gate.enter(code, self.address):
            self.close(1013, "full")
            return False
        self.code, self.inside = code, True
        return True

    def listen(self, state: RoomState | None) -> None:
        """Hear of the room from now on, first of how it is; not if it has gone meanwhile."""
        if self.inside:
            self.hear(state)
            self._leave = self.hub.listen(self.code, self.hear)

    @property
    def listens(self) -> bool:
        """Whether it hears of the room."""
        return self._leave is not None

    def hear(self, news: RoomState | StoreError | None) -> None:
        """Take the hub's news."""
        raise NotImplementedError

    def on_close(self) -> None:
        """The other side is gone."""
        if self._leave is not None:
            self._leave()
        if self.inside:
            self.gate.leave(self.code, self.address)
        self._leave, self.inside = None, False

    @property
    def max_message_size(self) -> int:
        """Bytes; a longer message ends the connection."""
        return MAX_MESSAGE

    @property
    def ping_interval(self) -> float:
        """Seconds."""
        return PING_s

    @property
    def address(self) -> str:
        """Where the other side is."""
        return str(self.request.remote_ip)

    def say(self, message: dict[str, Any]) -> None:
        """Send, if the other side is still there."""
        if self.ws_connection is not None and not self.ws_connection.is_closing():
            self.write_message(json.dumps(message))


def read_message(text: object) -> dict[str, Any]:
    """A message from outside; empty if it is none.

    Parameters
    ----------
    text : str or bytes
    """
    if not isinstance(text, str):
        return {}
    try:
        found = json.loads(text)
    except (ValueError, RecursionError):
        return {}
    return found if isinstance(found, dict) else {}
