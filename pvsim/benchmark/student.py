"""A class of students without browsers: sessions opened and used over the page's own web socket.

Run as a process of its own, `python -m pvsim.benchmark.student URL COUNT SECONDS`, it opens the
sessions, says so on a line, waits for a line, works, says what it measured, waits, and leaves.
"""

from __future__ import annotations

import asyncio
import json
import re
import sys
import time
from collections.abc import AsyncIterator
from dataclasses import dataclass, field
from random import Random
from typing import Any
from urllib.parse import urljoin

from tornado.httpclient import AsyncHTTPClient, HTTPRequest
from tornado.websocket import WebSocketClientConnection, websocket_connect

AT_ONCE = 4  # pages that are being opened at one time
BEAT_s = 1.0  # one change a second
STILL_s = 0.4  # after which a page asks for its address, as static/shell/frame.js does
PATIENCE_s = 30.0
MODULE = "1/4"  # the module that the demo shows first; its cells lie after those of three others
CELLS, FIRST = 60, 180
SHARES = (0.0, 0.2, 0.5, 0.8)


@dataclass
class Student:
    """One session and what was measured in it.

    Parameters
    ----------
    socket : WebSocketClientConnection
    parts : dict of str to str
        Id of each part of the page, by its name.
    document : str
        The page as it was when it opened, as JSON.
    replies_s : list of float
        From each change to the end of its answer.
    """

    socket: WebSocketClientConnection
    parts: dict[str, str] = field(default_factory=dict)
    document: str = ""
    replies_s: list[float] = field(default_factory=list)
    _number: int = 0

    async def work(self, seconds: float, random: Random) -> None:
        """Shade cells, one a second; each student begins at another moment."""
        async for _beat in beats(seconds, random):
            self._number += 1
            cell = random.randrange(CELLS)
            begin = time.perf_counter()
            await self._send(press(self.parts["roof"], self._number, cell, random.choice(SHARES)))
            await self._until(f'"answered",{self._number}]')
            self.replies_s.append(time.perf_counter() - begin)
            await asyncio.sleep(STILL_s)
            await self._send(asking(self.parts["frame"], self._number, [{"do": "address"}]))

    async def pull(self) -> None:
        """Get the document, as a page does when it opens."""
        await self.message()  # the server's greeting
        await self._send({}, kind="PULL-DOC-REQ")
        _head, self.document = await self.message()
        roots = json.loads(self.document)["doc"]["roots"]
        self.parts = {root["attributes"].get("name", ""): root["id"] for root in roots}
        ready = {"type": "event", "name": "document_ready", "values": {"type": "map"}}
        await self._send(_event(ready))

    def leave(self) -> None:
        """Close the page."""
        self.socket.close()

    async def _until(self, text: str) -> None:
        while True:
            _head, content = await self.message()
            if text in content.replace(" ", ""):
                return

    async def message(self) -> tuple[dict[str, Any], str]:
        """The next message: its header and content; buffers are read and let go."""
        head = json.loads(await self._frame())
        await self._frame()  # metadata
        content = await self._frame()
        for _ in range(2 * int(head.get("num_buffers", 0))):
            await self._frame()
        return head, content

    async def _frame(self) -> str:
        frame = await asyncio.wait_for(self.socket.read_message(), PATIENCE_s)
        if frame is None:
            raise ConnectionError("the server closed the connection")
        return frame if isinstance(frame, str) else ""

    async def _send(self, content: dict[str, Any], kind: str = "PATCH-DOC") -> None:
        for part in ({"msgid": f"s{time.monotonic_ns()}", "msgtype": kind}, {}, content):
            await self.socket.write_message(json.dumps(part))


async def beats(seconds: float, random: Random) -> AsyncIterator[None]:
    """A moment a second for so long, the first of them somewhere in the first second."""
    clock = asyncio.get_running_loop().time
    due = clock() + random.uniform(0.0, BEAT_s)
    end = due + seconds
    while due < end:
        await asyncio.sleep(max(0.0, due - clock()))
        due += BEAT_s
        yield


def press(part: str, number: int, cell: int, share: float) -> dict[str, Any]:
    """What the page says when the pointer is pressed on a cell of the module shown."""
    at = FIRST + cell
    wishes: list[dict[str, Any]] = [
        {"do": "show", "focus": f"{MODULE}/{cell + 1}", "level": "module"},
        {"do": "paint", "at": [at], "to": share, "stroke": number},
    ]
    return asking(part, number, wishes)


def asking(part: str, number: int, wishes: list[dict[str, Any]]) -> dict[str, Any]:
    """A message of a part of the page, as static/shared/outbox.js sends it."""
    return data_event(part, {"number": number, "wishes": wishes})


def data_event(part: str, data: dict[str, Any]) -> dict[str, Any]:
    """A message of a part of the page to its other half in the server."""
    values = encoded({"model": None, "data": data})
    values["entries"][0][1] = {"id": part}  # a reference, not a map
    return _event({"type": "event", "name": "data_event", "values": values})


def encoded(value: Any) -> Any:
    """A value as Bokeh's protocol writes it: maps by their entries."""
    if isinstance(value, dict):
        return {"type": "map", "entries": [[key, encoded(one)] for key, one in value.items()]}
    return [encoded(one) for one in value] if isinstance(value, list) else value


def token_in(html: str) -> str:
    """The session's token in a page.

    Raises
    ------
    ValueError
        If the page has none.
    """
    found = re.search(r'"token"\s*:\s*"([^"]+)"', html)
    if found is None:
        raise ValueError("the page carries no token of a session")
    return found[1]


def sources_in(html: str) -> list[str]:
    """Scripts and style sheets that a page asks for."""
    tags: list[str] = re.findall(r"<(?:script|link)\b[^>]*>", html)
    found = (re.search(r'(?:src|href)="([^"#]+)"', tag) for tag in tags)
    return [one[1] for one in found if one is not None]


def _event(event: dict[str, Any]) -> dict[str, Any]:
    return {"events": [{"kind": "MessageSent", "msg_type": "bokeh_event", "msg_data": event}]}


async def enter(url: str, client: AsyncHTTPClient) -> tuple[Student, float]:
    """Open a page with all it asks for; the student and how long it took, in s."""
    begin = time.perf_counter()
    html = (await _get(client, url)).decode("utf-8")
    for source in sources_in(html):
        await _get(client, urljoin(url, source))
    socket = await websocket_connect(
        urljoin(url, "ws").replace("http", "ws", 1), subprotocols=["bokeh", token_in(html)]
    )
    student = Student(socket)
    await student.pull()
    return student, time.perf_counter() - begin


async def _get(client: AsyncHTTPClient, url: str) -> bytes:
    answer = await client.fetch(HTTPRequest(url, request_timeout=PATIENCE_s))
    return answer.body


async def attend(url: str, count: int, seconds: float) -> None:
    """A lesson of `count` students: open, work for so many seconds, leave."""
    client = AsyncHTTPClient(max_clients=AT_ONCE)
    door = asyncio.Semaphore(AT_ONCE)

    async def come() -> tuple[Student, float]:
        async with door:
            return await enter(url, client)

    students = await asyncio.gather(*(come() for _ in range(count)))
    await tell({"opened_s": [seconds for _, seconds in students]})
    await asyncio.gather(*(one.work(seconds, Random(number)) for number, (one, _) in enumerate(students)))
    await tell({"replies_s": [reply for one, _ in students for reply in one.replies_s]})
    for one, _ in students:
        one.leave()
    await asyncio.sleep(1.0)


async def tell(found: dict[str, Any]) -> None:
    """Say what was found, and wait for the word to go on."""
    print(json.dumps(found), flush=True)
    await asyncio.get_running_loop().run_in_executor(None, sys.stdin.readline)


if __name__ == "__main__":
    asyncio.run(attend(sys.argv[1], int(sys.argv[2]), float(sys.argv[3])))
