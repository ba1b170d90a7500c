"""Connections that a test's coroutine forgets do not outlive it."""

from __future__ import annotations

import asyncio
import gc

from tornado.ioloop import IOLoop
from tornado.iostream import IOStream
from tornado.tcpclient import TCPClient
from tornado.tcpserver import TCPServer

from tests.loop import run_async


def wait_on(stream: IOStream) -> None:
    """Listen to it without end, and take it that it is closed."""
    asyncio.ensure_future(stream.read_until(b"never")).add_done_callback(lambda done: done.exception())


def test_a_connection_that_is_left_open_is_closed_with_its_loop() -> None:
    taken: list[IOStream] = []

    class Server(TCPServer):
        def handle_stream(self, stream: IOStream, address: object) -> None:
            taken.append(stream)
            wait_on(stream)

    async def forget() -> IOStream:
        server = Server()
        server.listen(0, "127.0.0.1")
        [listening] = server._sockets.values()
        stream = await TCPClient().connect("127.0.0.1", listening.getsockname()[1])
        wait_on(stream)
        while not taken:
            await asyncio.sleep(0.01)
        server.stop()
        return stream

    assert run_async(forget()).closed()
    taken.clear()

    async def look_again() -> None:
        IOLoop.current()  # what is left of earlier loops is let go of here, and told of as a warning

    run_async(look_again())
    gc.collect()
