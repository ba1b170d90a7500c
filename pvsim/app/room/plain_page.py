"""Plain pages: HTML without a session of Bokeh's, for phones and the notes window."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from tornado.ioloop import IOLoop
from tornado.web import RequestHandler
from tornado.websocket import WebSocketHandler

from pvsim.app.door.admission import Gate
from pvsim.app.door.hosts import ears_of, shut_out
from pvsim.app.door.names import Names
from pvsim.app.door.policy import COMMON_HEADERS, plain_policy
from pvsim.app.language import session_language
from pvsim.app.plain_page import plain_page
from pvsim.app.room.hub import Hub
from pvsim.errors import StoreError

if TYPE_CHECKING:
    from pvsim.store import RoomState

__all__ = ["Busy", "PlainPage", "PlainSocket", "handed_on", "read_message"]

MAX_MESSAGE = 2048  # bytes; an answer has a hundred
PING_s = 20  # a phone that went away is noticed, and one behind a forgetful router kept
HELLO_s = 30  # a page says hello as soon as it is connected


class Busy(Exception):
    """Too many codes are tried from one address; whoever asks may ask again."""


def handed_on(hub: Hub, language: str = "", names: Names | None = None) -> dict[str, Any]:
    """What every plain page and socket of a server is given.

    Parameters
    ----------
    hub : Hub
    language : str
        What is spoken to a browser in which nobody has chosen; "" for what that browser likes best.
    names : Names or None
        Of the server, from whose pages alone sockets are opened; None for those of this machine to itself.
    """
    return {"hub": hub, "gate": hub.gate, "language": language, "names": names or Names()}


class Plain(RequestHandler):
    """What pages and sockets have in common."""

    def initialize(self, hub: Hub, gate: Gate, language: str, names: Names) -> None:
        """Remember what `handed_on` gives."""
        self.hub, self.gate, self._usual, self._names = hub, gate, language, names

    @property
    def speaks(self) -> str:
        """The code of the language in which this page is spoken to."""
        query = self.request.query_arguments  # as bytes: a broken one must not keep anybody out
        return session_language(query, {}, dict(self.request.headers), self._usual)


    @property
    def address(self) -> str:
        """Where the other side is."""
        return str(self.request.remote_ip)

    async def find(self, typed: str) -> RoomState | None:
        """The open class of a code that somebody typed; None if no class has it.

        Raises
        ------
        Busy
            If too many codes are tried from where they are.
        StoreError
            If the store does not answer.
        """
        from pvsim.store.room import read_code  # loads the store's packages

        code = read_code(typed)
        if code is None:
            return None
        wait_s = self.gate.knock(code, self.address)
        if wait_s is None:
            raise Busy
        there = False
        try:
            await asyncio.sleep(wait_s)
            state = await self.hub.look(code)
            there = state is not None and state.open
        finally:
            self.gate.knocked(code, self.address, waited=wait_s > 0.0, there=there)
        return state if there else None


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
    _gone = False
    _word: object | None = None  # the time until which it has to say who it is
    _leave: Callable[[], None] | None = None

    def prepare(self) -> None:
        """Before anything else: whose page is it?"""
        shut_out(self, self._names)

    def check_origin(self, origin: str) -> bool:
        """Pages of this server alone; that an origin is the Host of the request says nothing of it."""
        return self._names.trusts(origin, ears_of(self.request))

    async def come_in(self, typed: str) -> RoomState | None:
        """Let it into the room of a code; without such a room, or room for it, the connection ends.

        Whoever then says nothing of who he is within HELLO_s has to go: he would take somebody's place.
        """
        try:
            state = await self.find(typed)
        except (Busy, StoreError):  # the page tries again by itself
            self.close(1013, "busy")
            return None
        if self._gone:
            return None
        if state is None:
            self.refuse_code()
            self.close(1008, "no class")
            return None
        if not self.gate.enter(state.code, self.address):
            self.close(1013, "full")
            return None
        self.code, self.inside = state.code, True
        self._word = IOLoop.current().call_later(HELLO_s, self._greeted_or_gone)
        return state

    @property
    def greeted(self) -> bool:
        """Whether the other side has said who it is."""
        raise NotImplementedError

    def refuse_code(self) -> None:
        """Say that there is no such class."""
        raise NotImplementedError

    def _greeted_or_gone(self) -> None:
        if self.inside and not self.greeted:
            self.close(1008, "no word")

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
        self._gone = True
        if self._word is not None:
            IOLoop.current().remove_timeout(self._word)  # it would keep this socket alive
            self._word = None
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

    def say(self, message: dict[str, Any]) -> None:
        """Send, if the other side is still there."""
        if not self.ending:
            self.write_message(json.dumps(message))

    @property
    def ending(self) -> bool:
        """Whether the connection is over, or about to be; what still comes in counts for nothing."""
        return self.ws_connection is None or self.ws_connection.is_closing()


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
