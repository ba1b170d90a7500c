"""What is written to a web socket in one turn of the event loop is sent in one call, and in its order."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Awaitable, Callable
from types import SimpleNamespace
from typing import Any

import pytest
from bokeh.protocol import Protocol
from panel.io.document import dispatch_tornado
from tornado.iostream import StreamClosedError
from tornado.web import Application
from tornado.websocket import WebSocketClosedError, WebSocketHandler, websocket_connect

from pvsim.app.mends.gathered import GatheredStream, LARGE_bytes, wait_together
from pvsim.app.mends.page_socket import PageSocket
from tests.loop import run_async


class Wire:
    """A stream that remembers what it is given."""

    def __init__(self) -> None:
        self.sent: list[bytes] = []
        self.error: BaseException | None = None
        self._closed = False

    def write(self, data: bytes) -> asyncio.Future[None]:
        if self._closed:
            raise StreamClosedError
        self.sent.append(data)
        written = asyncio.get_running_loop().create_future()
        written.set_result(None)
        return written

    def close(self, *_args: Any) -> None:
        self._closed = True

    def closed(self) -> bool:
        return self._closed


def on_wire(work: Callable[[GatheredStream, Wire], Awaitable[None]]) -> list[bytes]:
    wire = Wire()

    async def run() -> None:
        stream: Any = wire
        await work(GatheredStream(stream), wire)

    run_async(run())
    return wire.sent


def test_what_is_written_in_one_turn_is_sent_in_one_piece_and_its_order():
    async def work(stream: GatheredStream, wire: Wire) -> None:
        written = [stream.write(one) for one in (b"a", b"b", b"c")]
        assert wire.sent == [], "it waits for what else there is"
        await asyncio.gather(*written)
        await stream.write(b"d")

    assert on_wire(work) == [b"abc", b"d"]


def test_what_is_large_goes_at_once_behind_what_was_written_before():
    large = bytes(LARGE_bytes)

    async def work(stream: GatheredStream, wire: Wire) -> None:
        first = stream.write(b"a")
        await stream.write(large)
        assert wire.sent == [b"a", large]
        await first
        await asyncio.sleep(0)

    assert on_wire(work) == [b"a", large]


def test_nothing_is_kept_back_when_it_is_closed():
    async def work(stream: GatheredStream, wire: Wire) -> None:
        last = stream.write(b"good-bye")
        stream.close()
        assert wire.sent == [b"good-bye"]
        await last
        with pytest.raises(StreamClosedError):
            stream.write(b"too late")

    assert on_wire(work) == [b"good-bye"]


def test_who_waits_hears_that_nobody_is_there_any_more():
    async def work(stream: GatheredStream, wire: Wire) -> None:
        lost = stream.write(b"a")
        wire.close()
        with pytest.raises(StreamClosedError):
            await lost

    assert on_wire(work) == []


class Socket(WebSocketHandler):
    """A socket of Tornado's with the three mends of a page's, and nothing else of it."""

    def get_websocket_protocol(self) -> Any:
        protocol = super().get_websocket_protocol()
        wait_together(protocol)
        return protocol

    def _detach_stream(self) -> Any:
        return GatheredStream(super()._detach_stream())

    send_message = PageSocket.send_message
    writes: list[bytes]

    def open(self) -> None:
        from tornado.locks import Lock

        self.write_lock = Lock()
        stream: Any = self.ws_connection.stream  # type: ignore[union-attr]
        write = stream._stream.write
        self.writes = self.settings["writes"]
        stream._stream.write = lambda data: self.writes.append(bytes(data)) or write(data)

    async def on_message(self, message: str | bytes) -> None:
        letter: Any = Protocol().create("OK", "3")
        for number in range(2):
            letter.add_buffer(SimpleNamespace(ref={"id": f"p{number}"}, to_bytes=lambda: b"\x00\x01"))
        if message == "panel":
            connection: Any = SimpleNamespace(_socket=self)
            waited = dispatch_tornado(connection, msg=letter)
            assert len(waited) == 7
            assert len(set(map(id, waited))) == 1  # Tornado makes a task for each
            await asyncio.gather(*waited)
        else:
            await self.send_message(letter)


@pytest.mark.parametrize("way", ["panel", "bokeh"])
def test_a_message_goes_in_one_call_whoever_sends_it(way):
    """The parts that the mend stands on are there: Tornado's web socket writes to the stream it was given."""
    writes: list[bytes] = []

    async def run() -> list[Any]:
        server = Application([("/ws", Socket)], writes=writes).listen(0, "127.0.0.1")
        (ear,) = server._sockets.values()
        client = await websocket_connect(f"ws://127.0.0.1:{ear.getsockname()[1]}/ws")
        await client.write_message(way)
        read = [await asyncio.wait_for(client.read_message(), 30) for _ in range(7)]
        client.close()
        await client.read_message()  # None: it is closed
        server.stop()
        await server.close_all_connections()
        return read

    read = run_async(run())
    message, _good_bye = writes  # one call for header, metadata, content and twice two of an array
    assert message.count(b"\x00\x01") == 2
    assert json.loads(read[0])["num_buffers"] == 2
    assert read[4] == read[6] == b"\x00\x01"


def test_what_is_waited_for_together_says_that_the_web_socket_was_closed():
    async def run() -> None:
        sent: asyncio.Future[None] = asyncio.get_running_loop().create_future()
        gone = False

        def write_frame(fin: bool, opcode: int, data: bytes) -> asyncio.Future[None]:
            assert (fin, opcode, data) == (True, 1, "ä".encode())
            if gone:
                raise StreamClosedError
            return sent

        protocol: Any = SimpleNamespace(_write_frame=write_frame, _compressor=None, write_message=None)
        wait_together(protocol)
        first, second = protocol.write_message("ä"), protocol.write_message("ä")
        assert first is second
        sent.set_exception(StreamClosedError())
        with pytest.raises(WebSocketClosedError):
            await first
        gone = True
        with pytest.raises(WebSocketClosedError):
            protocol.write_message("ä")

    run_async(run())


def test_a_message_to_somebody_who_has_gone_is_told_in_one_line(caplog):
    class Gone(PageSocket):
        def __init__(self) -> None:
            from tornado.locks import Lock

            self.write_lock, self.ws_connection = Lock(), None

    async def run() -> None:
        socket = Gone()
        with pytest.raises(WebSocketClosedError):
            WebSocketHandler.write_message(socket, "x")
        await socket.send_message(Protocol().create("OK", "3"))

    run_async(run())
    assert "connection was closed" in caplog.text
