"""Processes that serve one port together: whose page a web socket is for, and how it gets there.

Whichever process is free takes a new connection. A page's web socket comes on a connection of its own, and
landed in a process that did not have the page, which then built it a second time. So a session's name tells
which process has it, and one that takes a web socket for another's session hands the connection on.
"""

from __future__ import annotations

import asyncio
import re
import socket
from collections.abc import Callable
from typing import Any
from zlib import crc32

from bokeh.util.token import generate_session_id, get_session_id

__all__ = ["Kin", "session_asked_for"]

HEAD_BYTES = 16_384  # of a request; a page's token takes 2,000
SILENCE_s = 10.0  # then a connection is taken by whom it came to
_ASKED = re.compile(
    rb"GET [^ ]*/ws\?? .*?\r\nsec-websocket-protocol:[ \t]*bokeh,[ \t]*([\w.-]+)\r\n",
    re.IGNORECASE | re.DOTALL,
)

Taker = Callable[[socket.socket, Any], None]


class Kin:
    """The processes that serve together, as one of them sees it; made before they part.

    Parameters
    ----------
    count : int
        How many.
    """

    def __init__(self, count: int) -> None:
        self.count = count
        self.own = 0
        self._doors = [socket.socketpair(socket.AF_UNIX, socket.SOCK_DGRAM) for _ in range(count)]
        for pair in self._doors:
            for end in pair:
                end.setblocking(False)  # nobody waits for another that is busy

    def part(self, own: int) -> None:
        """Be the process of this number, from 0."""
        self.own = own

    def close(self) -> None:
        """Neither hear the others nor be able to hand on."""
        for pair in self._doors:
            for end in pair:
                end.close()

    def owner(self, session_id: str) -> int:
        """Which process has the session of this name."""
        return crc32(session_id.encode()) % self.count

    def new_session_id(self, secret_key: bytes | None) -> str:
        """A signed name for a session of this process."""
        while True:
            name = str(generate_session_id(secret_key=secret_key, signed=True))
            if self.owner(name) == self.own:
                return name

    def receive(self, loop: asyncio.AbstractEventLoop, take: Taker) -> Taker:
        """Begin to hear the others.

        Parameters
        ----------
        loop : AbstractEventLoop
            Of this process.
        take : callable
            Serves a connection, given with its address.

        Returns
        -------
        callable
            What new connections are given to instead: it serves them here, or hands them on.
        """
        inner, _outer = self._doors[self.own]

        def handed() -> None:
            try:
                _word, descriptors, _flags, _address = socket.recv_fds(inner, 1, 1)
            except OSError:  # taken already, or none left of those that a process may have
                return
            for descriptor in descriptors:
                connection = socket.socket(fileno=descriptor)
                try:
                    address = connection.getpeername()
                except OSError:  # gone on the way
                    connection.close()
                    continue
                take(connection, address)

        def come(connection: socket.socket, address: Any) -> None:
            connection.setblocking(False)

            def leave() -> None:
                loop.remove_reader(connection)
                silence.cancel()

            def silent() -> None:
                leave()
                take(connection, address)

            def look() -> None:
                leave()
                if not self._hand_on(connection):
                    take(connection, address)

            silence = loop.call_later(SILENCE_s, silent)
            loop.add_reader(connection, look)

        loop.add_reader(inner, handed)
        return come

    def _hand_on(self, connection: socket.socket) -> bool:
        """Give a web socket to the process that has its page; False for all that is served here."""
        try:
            name = session_asked_for(connection.recv(HEAD_BYTES, socket.MSG_PEEK))
        except OSError:  # whoever serves it will find the same
            return False
        if not name or self.owner(name) == self.own:
            return False
        try:
            socket.send_fds(self._doors[self.owner(name)][1], [b"."], [connection.fileno()])
        except OSError:  # the other has too many waiting
            return False
        connection.close()
        return True


def session_asked_for(head: bytes) -> str:
    """The session that a request for a web socket names; "" for any other request, or half of one."""
    found = _ASKED.match(head)
    try:
        return str(get_session_id(found[1].decode())) if found else ""
    except Exception:  # whatever a stranger's token makes of the package that reads it
        return ""

