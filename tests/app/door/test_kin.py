"""With several processes a page's web socket goes to the one that has its page."""

from __future__ import annotations

import asyncio
import json
import re
import socket
import sys
from collections import Counter

import pytest
from bokeh.util.token import generate_jwt_token, generate_session_id, get_session_id
from tornado.httpclient import AsyncHTTPClient, HTTPRequest
from tornado.websocket import websocket_connect

from pvsim.app.door.kin import HEAD_BYTES, Kin, session_asked_for
from tests.app.room.test_processes import server
from tests.loop import run_async

PAGES_EACH = 3
MOST_PAGES = 60
AT_ONCE = 4
KEY = b"a secret of this test"


def request(token: str, path: str = "/ws") -> bytes:
    """What a browser asks for when it connects."""
    return (
        f"GET {path} HTTP/1.1\r\nHost: 127.0.0.1\r\nUpgrade: websocket\r\n"
        f"Sec-WebSocket-Protocol: bokeh, {token}\r\nSec-WebSocket-Version: 13\r\n\r\n"
    ).encode()


def token_of(name: str) -> str:
    return generate_jwt_token(name, secret_key=KEY, signed=True, expiration=60)


def test_a_name_tells_whose_the_session_is():
    kin = Kin(3)
    for own in range(3):
        kin.part(own)
        names = [kin.new_session_id(KEY) for _ in range(20)]
        assert {kin.owner(name) for name in names} == {own}
        assert len(set(names)) == 20
    kin.close()


def test_the_session_is_read_from_the_request_alone():
    name = generate_session_id(secret_key=KEY, signed=True)
    assert session_asked_for(request(token_of(name))) == name
    assert len(request(token_of(name))) < HEAD_BYTES


@pytest.mark.parametrize(
    "head",
    [
        b"",
        b"GET / HTTP/1.1\r\nHost: here\r\n\r\n",
        request("x" * 30),
        request("...", "/join/ABC/socket"),
        request("e30.e30"),
        b"GET /ws HTTP/1.1\r\nSec-WebSocket-Protocol: bokeh\r\n\r\n",
        b"\x16\x03\x01\x02\x00" * 50,
    ],
)
def test_any_other_request_names_none(head):
    assert session_asked_for(head) == ""


@pytest.mark.skipif(sys.platform == "win32", reason="several processes cannot share a port on Windows")
def test_a_process_that_takes_nothing_keeps_no_other_waiting():
    kin = Kin(2)
    kin.part(1)
    asked = request(token_of(kin.new_session_id(KEY)))
    kin.part(0)
    handed = 0
    try:
        while True:
            browser, connection = socket.socketpair()
            with browser, connection:
                browser.sendall(asked)
                if not kin._hand_on(connection):
                    assert connection.recv(len(asked)) == asked, "what is served here is whole"
                    break
            handed += 1
    finally:
        kin.close()
    assert handed > 1


async def open_page(url: str) -> tuple[str, set[str], set[str]]:
    """The session a page belongs to, the parts it was promised, and those that its web socket finds."""
    asked = HTTPRequest(url, headers={"Connection": "close"})
    answer = await AsyncHTTPClient(force_instance=True).fetch(asked)
    text = answer.body.decode()
    token = re.search(r'"token":"([^"]+)"', text)
    roots = re.search(r'"roots":(\{[^}]*\})', text)
    assert token is not None
    assert roots is not None
    socket = await websocket_connect(url.replace("http", "ws") + "ws", subprotocols=["bokeh", token[1]])
    assert json.loads(await socket.read_message())["msgtype"] == "ACK"
    for _rest in range(2):
        await socket.read_message()
    for piece in ({"msgid": "1", "msgtype": "PULL-DOC-REQ"}, {}, {}):
        await socket.write_message(json.dumps(piece))
    assert json.loads(await socket.read_message())["msgtype"] == "PULL-DOC-REPLY"
    await socket.read_message()
    document = json.loads(await socket.read_message())["doc"]
    socket.close()
    return get_session_id(token[1]), set(json.loads(roots[1])), {root["id"] for root in document["roots"]}


@pytest.mark.skipif(sys.platform == "win32", reason="several processes cannot share a port on Windows")
def test_the_web_socket_finds_the_page_that_was_made_for_it(tmp_path):
    store_url = f"sqlite:///{tmp_path / 'classes.sqlite'}"

    kin = Kin(2)
    seen: Counter[int] = Counter()

    async def lesson(url: str) -> None:
        # The system chooses who takes a connection: until each has made a few pages. One that is making
        # a page takes no other meanwhile, so several at once come to both.
        for _ in range(MOST_PAGES // AT_ONCE):
            for session_id, promised, found in await asyncio.gather(
                *(open_page(url) for _ in range(AT_ONCE))
            ):
                assert promised == found
                seen[kin.owner(session_id)] += 1
            if min(seen[0], seen[1]) >= PAGES_EACH:
                return

    with server(store_url, "--processes", "2") as (_process, url):
        run_async(lesson("http" + url.removeprefix("ws")))
    kin.close()
    assert min(seen[0], seen[1]) >= PAGES_EACH
