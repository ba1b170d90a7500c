"""The web socket of a page: every message is looked at before it is unpacked."""

from __future__ import annotations

import asyncio
import calendar
import json
import logging
import time
from typing import Any

import panel as pn
from bokeh.util.token import (
    check_token_signature,
    generate_jwt_token,
    generate_session_id,
    get_session_id,
    get_token_payload,
)
from panel.io.server import WSHandler
from panel.models.esm import ReactiveESM
from tornado.websocket import WebSocketClosedError, WebSocketHandler

from pvsim.app.door.admission import Bucket
from pvsim.app.door.hosts import ears_of, shut_out
from pvsim.app.door.letter import COMPONENT, PATCH, PULL, Refused, check_letter
from pvsim.app.door.lines import short
from pvsim.app.mends.door import DOOR, Door
from pvsim.app.mends.gathered import GatheredStream, wait_together
from pvsim.app.mends.letters import Letters
from pvsim.app.mends.sessions import lifetime_ms, make_room

__all__ = ["PageSocket"]

_log = logging.getLogger(__name__)

AT_ONCE, RATE_1_s = 200, 100.0  # messages of one page; a window being resized sends some dozens a second
PULLS_AT_ONCE, PULLS_1_s = 8, 0.5  # whole documents, of half a megabyte each
PATIENCE = 20  # refused messages; then the connection is ended


class PageSocket(WSHandler):
    """The web socket of a page.

    Bokeh does what any message says: add models, whose images may name a file of this machine and are sent
    back; unpack arrays; take any number of buffers. Here a message is looked at before it is unpacked. Bokeh
    waits with small packets (Nagle), which costs about 40 ms a round trip while somebody drags. It writes
    whole messages into the log. And it refuses a page whose token it does not know, such as that of a server
    that was started anew, in a way that the page cannot tell from a network that is away.
    """

    _seat = ""
    _refusals = 0
    _shut = False  # by either side; what still arrives is not looked at
    _token: Any  # set by select_subprotocol; Panel and Bokeh say of these that they are None
    receiver: Any
    application: Any
    connection: Any

    async def prepare(self) -> None:
        """Before anything else: whose page is it?"""
        if not shut_out(self, self.settings[DOOR].names):
            await super().prepare()

    def check_origin(self, origin: str) -> bool:
        """Pages of this server alone, by the names it has."""
        door: Door = self.settings[DOOR]
        return door.names.trusts(origin, ears_of(self.request))

    def open(self, *args: Any, **kwargs: Any) -> None:
        """Let a page in.

        A token that this server has not signed counts for nothing: its bearer gets a session of its own, as
        with a new page, and a page from before a restart finds from that that it must load again.
        """
        self.set_nodelay(True)
        address = str(self.request.remote_ip)
        if self.selected_subprotocol != "bokeh" or self._token is None:
            self.close(1002, "no page")
            return
        if not self.settings[DOOR].seats.sit(address):
            self.close(1013, "full")
            return
        self._seat = address
        self._letters = Letters()
        self._bucket, self._pulls = Bucket(AT_ONCE, RATE_1_s), Bucket(PULLS_AT_ONCE, PULLS_1_s)
        if not self._is_valid(self._token):
            self._token = self._new_token()
        super().open(*args, **kwargs)

    def _is_valid(self, token: str) -> bool:
        application = self.application
        try:
            signed = check_token_signature(token, secret_key=application.secret_key, signed=True)
            return signed and get_token_payload(token)["session_expiry"] > calendar.timegm(time.gmtime())
        except Exception:  # whatever a stranger's token makes of the packages that read it
            return False

    def _new_token(self) -> str:
        application = self.application
        session_id = generate_session_id(secret_key=application.secret_key, signed=True)
        nothing: dict[str, Any] = {"headers": {}, "cookies": {}, "arguments": {}}
        return generate_jwt_token(
            session_id,
            secret_key=application.secret_key,
            signed=True,
            expiration=application.session_token_expiration,
            extra_payload=nothing,
        )

    async def _async_open(self, token: str) -> None:
        door: Door = self.settings[DOOR]
        known = {one.id for one in self.application_context.sessions}
        if get_session_id(token) not in known and not await make_room(
            self.application_context, door, lifetime_ms(self)
        ):
            self.close(1013, "full")
            return
        await super()._async_open(token)
        if self.connection is None:
            return
        if self._shut:  # the page went while its session was made
            self.application.client_lost(self.connection)
        else:
            door.connected.add(self.connection.session)

    def on_message(self, fragment: str | bytes) -> Any:
        """Take a part of a message; do what it says when it is whole and within bounds.

        A message comes in several parts; those that make none whole take no task of the event loop.
        """
        if self._shut:
            return None
        if self.connection is None:  # a page waits for the server's greeting
            self._end(1002, "too early")
            return None
        try:
            if not isinstance(fragment, str):
                raise Refused("bytes, which no page sends")
            self.receiver._current_consumer(fragment)
            message = self.receiver._message
        except Exception as error:  # what is left of it cannot be read either
            self._refuse(error)
            self._end(1008, "refused")
            return None
        return None if message is None else self._hear(message)

    async def _hear(self, message: Any) -> None:
        if not self._bucket.take():
            await asyncio.sleep(1.0 / RATE_1_s)  # its own messages wait, nobody else's
        try:
            check_letter(message.header, message.content, self._kind_of)
            if message.msgtype == PULL and not self._pulls.take():
                raise Refused("it asks for the document too often")
        except Refused as error:
            self._refuse(error)
            header = message.header if isinstance(message.header, dict) else {}
            if self._refusals > PATIENCE or not isinstance(header.get("msgid"), str):
                self._end(1008, "refused")
            else:
                await self.send_message(self.connection.error(message, "refused"))
            return
        if message.msgtype == PATCH:
            # Who has something to say has the document. Panel believes that only once the page is drawn to
            # the end, and until then throws away what changes for it: it would come with the document.
            pn.state._connected[self.connection.session.document] = True
        work = await self._letters.handle(message, self.connection)
        if work is not None:
            await self.send_message(work)

    def _detach_stream(self) -> Any:
        return GatheredStream(super()._detach_stream())

    def get_websocket_protocol(self) -> Any:
        """How pieces are written: all of one go are waited for together."""
        protocol = super().get_websocket_protocol()
        if protocol is not None:
            wait_together(protocol)
        return protocol

    async def send_message(self, message: Any) -> None:
        """Send a message; Bokeh waits for each of its pieces to be gone before it writes the next."""
        pieces = [message.header_json, message.metadata_json, message.content_json]
        for buffer in message._buffers:
            pieces += [json.dumps(buffer.ref), buffer.to_bytes()]
        try:
            with await self.write_lock.acquire():
                await asyncio.gather(
                    *(WebSocketHandler.write_message(self, one, isinstance(one, bytes)) for one in pieces)
                )
        except WebSocketClosedError:
            _log.warning("Failed sending message as connection was closed")

    def _kind_of(self, id: Any) -> str | None:
        session: Any = self.connection and self.connection.session
        model = session.document.get_model_by_id(id)
        if model is None:
            return None
        return COMPONENT if isinstance(model, ReactiveESM) else type(model).__name__

    def _refuse(self, error: Exception) -> None:
        self._refusals += 1
        if self._refusals == 1:  # one line for each connection
            reason = str(error) if isinstance(error, Refused) else type(error).__name__
            _log.warning("A message from %s was refused: %s", self.request.remote_ip, short(reason, 200))

    def _end(self, code: int, reason: str) -> None:
        self._shut = True
        self.close(code, reason)

    def on_close(self) -> None:
        """The page is gone."""
        self._shut = True
        if self._seat:
            self.settings[DOOR].seats.leave(self._seat)
            self._seat = ""
        super().on_close()
