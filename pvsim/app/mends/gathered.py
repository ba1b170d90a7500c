"""What is written to a web socket in one go, sent in one go."""

from __future__ import annotations

import asyncio
from typing import Any

from tornado.concurrent import chain_future
from tornado.escape import utf8
from tornado.iostream import IOStream, StreamClosedError
from tornado.websocket import WebSocketClosedError

__all__ = ["GatheredStream", "wait_together"]

LARGE_bytes = 65_536  # sent at once: putting it together with others would copy it for nothing


class GatheredStream:
    """A stream that sends what is written to it when the turn of the event loop is over.

    Bokeh writes a message in pieces: its header, its metadata, its content, and each array in two more.
    Tornado makes a call of the system for each, and each wakes the browser at the other end: some twenty for
    a change, a quarter of its cost. What is kept is sent before the stream is closed, and in its order.

    Parameters
    ----------
    stream : IOStream
        Does everything else.
    """

    def __init__(self, stream: IOStream) -> None:
        self._stream = stream
        self._kept: list[bytes] = []
        self._sent: asyncio.Future[None] | None = None

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)

    def write(self, data: bytes) -> asyncio.Future[None]:
        """Keep what is written for a moment.

        Parameters
        ----------
        data : bytes

        Returns
        -------
        Future
            Done when all of it is with the system, as that of Tornado.

        Raises
        ------
        StreamClosedError
            If nobody is there any more.
        """
        if self._stream.closed():
            raise StreamClosedError(real_error=self._stream.error)
        if len(data) >= LARGE_bytes:
            self._send()
            return self._stream.write(data)
        self._kept.append(data)
        if self._sent is None:
            loop = asyncio.get_running_loop()
            self._sent = loop.create_future()
            loop.call_soon(self._send)
        return self._sent

    def close(self, *args: Any) -> None:
        """Close it, with nothing kept back."""
        self._send()
        self._stream.close(*args)

    def _send(self) -> None:
        kept, sent = self._kept, self._sent
        if sent is None:  # it went on its way already
            return
        self._kept, self._sent = [], None
        sent.add_done_callback(lambda one: one.cancelled() or one.exception())  # nobody need ask
        try:
            chain_future(self._stream.write(b"".join(kept)), sent)
        except Exception as error:
            if not sent.done():
                sent.set_exception(error)


def wait_together(protocol: Any) -> None:
    """Have all that a web socket writes in one go waited for by one task.

    Tornado makes a task for each piece, eleven for a change; all that it does is to say of a stream that was
    closed that the web socket was.

    Parameters
    ----------
    protocol : WebSocketProtocol13
        Whose stream gathers; its way of writing is replaced.
    """
    usual = protocol.write_message
    written: asyncio.Future[None] | None = None
    told: asyncio.Future[None] | None = None

    async def tell(sent: asyncio.Future[None]) -> None:
        try:
            await sent
        except StreamClosedError:
            raise WebSocketClosedError from None

    def write_message(message: str | bytes, binary: bool = False) -> asyncio.Future[None]:
        nonlocal written, told
        if protocol._compressor:
            return usual(message, binary)
        try:
            sent = protocol._write_frame(True, 0x2 if binary else 0x1, utf8(message))
        except StreamClosedError:
            raise WebSocketClosedError from None
        if told is None or sent is not written:
            written, told = sent, asyncio.ensure_future(tell(sent))
        return told

    protocol.write_message = write_message
