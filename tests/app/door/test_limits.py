"""Limits on pages: how many there may be, who makes room, and what the others read."""

from __future__ import annotations

import asyncio
import urllib.error
import urllib.request
from collections.abc import Iterator
from typing import Any

import pytest
from tornado.httpclient import HTTPRequest
from tornado.websocket import websocket_connect

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")

from bokeh.util.token import get_session_id

from pvsim.app.door import seats
from pvsim.app.mends import sessions
from pvsim.benchmark.student import token_in
from tests.loop import run_async

from tests.app.conftest import Served  # isort: skip


def get(url: str, **headers: str) -> tuple[int, str, Any]:
    """Status, text and headers of an answer."""
    try:
        request = urllib.request.Request(url, headers={"Accept-Language": "en"} | headers)
        with urllib.request.urlopen(request, timeout=60) as answer:
            return answer.status, answer.read().decode("utf-8"), answer.headers
    except urllib.error.HTTPError as error:
        with error:
            return error.code, error.read().decode("utf-8"), error.headers


async def connect(served: Served, token: str) -> Any:
    """A page's socket, and the first it hears; None when it is shut at once."""
    request = HTTPRequest(served.url.replace("http", "ws", 1) + "ws", request_timeout=60)
    socket = await websocket_connect(request, subprotocols=["bokeh", token])
    return socket, await socket.read_message()


async def leave(socket: Any) -> None:
    """Close a page, and wait until the loop has let go of it."""
    stream = socket.protocol.stream if socket.protocol else None
    socket.close()
    while await socket.read_message() is not None:
        pass
    while stream is not None and not stream.closed():
        await asyncio.sleep(0.01)


@pytest.fixture
def small(monkeypatch) -> Iterator[Served]:
    """A server with room for five pages, two of them without a connection."""
    monkeypatch.setattr(sessions, "MOST_SESSIONS", 5)
    monkeypatch.setattr(seats, "MOST_SESSIONS", 5)
    monkeypatch.setattr(seats, "MOST_UNCONNECTED", 2)
    served = Served()
    yield served
    served.stop()


def names_of(served: Served) -> list[str]:
    return [one.id for one in served.sessions()]


def test_pages_that_nobody_connects_to_make_room_for_new_ones(small):
    tokens = [token_in(get(small.url)[1]) for _ in range(6)]
    assert names_of(small) == [get_session_id(token) for token in tokens[-2:]]


def test_a_full_server_says_so_and_lets_in_again_when_a_page_closes(small):
    async def fill() -> None:
        sockets = []
        for _ in range(5):
            socket, greeting = await connect(small, token_in(get(small.url)[1]))
            assert "ACK" in str(greeting)
            sockets.append(socket)
        held = names_of(small)
        status, text, headers = get(small.url)
        assert status == 503
        assert "As many pages are open" in text
        assert int(headers["Refresh"]) > 0
        assert names_of(small) == held  # no open page was let go of
        late, greeting = await connect(small, "unknown.token")
        assert greeting is None  # nor is there a session through the socket
        late.close()
        await leave(sockets[0])
        while get(small.url)[0] != 200:  # until the server has heard of it
            pass
        for socket in sockets[1:]:
            await leave(socket)

    run_async(fill())


def test_a_page_that_was_let_go_of_is_made_anew_when_it_connects_after_all(small):
    tokens = [token_in(get(small.url)[1]) for _ in range(4)]
    first = get_session_id(tokens[0])
    assert first not in names_of(small)

    async def come() -> None:
        socket, greeting = await connect(small, tokens[0])
        assert greeting is not None
        assert first in names_of(small)
        await leave(socket)

    run_async(come())


def test_who_opens_a_socket_and_goes_at_once_leaves_no_connection_behind(small):
    async def dash() -> None:
        for _ in range(4):
            socket = await websocket_connect(
                HTTPRequest(small.url.replace("http", "ws", 1) + "ws", request_timeout=60),
                subprotocols=["bokeh", "unknown.token"],
            )
            await leave(socket)

    run_async(dash())
    small.wait_sessions(5)
    while any(one.connection_count for one in small.sessions()):  # until the server has heard of it
        pass
    assert small.call(lambda: len(small.server._tornado._clients)) == 0


def test_an_address_that_opens_very_many_pages_waits_and_is_told_why(monkeypatch):
    monkeypatch.setattr(seats, "AT_ONCE", 3)
    monkeypatch.setattr(seats, "RATE_1_s", 0.01)
    served = Served()
    try:
        found = [get(served.url) for _ in range(5)]
        assert [status for status, _text, _headers in found] == [200, 200, 200, 429, 429]
        assert "This page tries again by itself" in found[3][1]
        assert int(found[3][2]["Refresh"]) > 0
        assert "Sehr viele" in get(served.url, **{"Accept-Language": "de"})[1]
        assert get(served.url + "join")[0] == 200  # phones are not held up
    finally:
        served.stop()
