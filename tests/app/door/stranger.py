"""A stranger at the server's door: a process that serves, and a client that says whatever it likes."""

from __future__ import annotations

import asyncio
import json
import os
import re
import subprocess
import sys
import threading
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Coroutine
from pathlib import Path
from typing import Any

from tornado.httpclient import HTTPRequest
from tornado.websocket import WebSocketClosedError, websocket_connect

from pvsim.benchmark.student import token_in
from tests.loop import run_async

WAIT_s = 60.0  # for an answer, on a machine that others use too
_OPENER = urllib.request.build_opener(urllib.request.ProxyHandler({}))


class House:
    """A process of `pvsim serve`, with a data folder of its own.

    Parameters
    ----------
    folder : Path
    more : str
        Options of the command line.
    """

    def __init__(self, folder: Path, *more: str) -> None:
        command = [sys.executable, "-u", "-m", "pvsim", "serve", "--no-browser", "--port", "0", *more]
        home = {"HOME": str(folder), "XDG_DATA_HOME": str(folder / "data"), "LOCALAPPDATA": str(folder)}
        self._log = (folder / "log.txt").open("ab")
        self.process = subprocess.Popen(
            command, stdout=subprocess.PIPE, stderr=self._log, text=True, env=os.environ | home
        )
        assert self.process.stdout is not None
        found = re.search(r"http://[^/\s]*:(\d+)/", self.process.stdout.readline())
        assert found is not None, "the server did not start"
        self.port = int(found[1])
        self.url = f"http://127.0.0.1:{self.port}/"
        self._reader = threading.Thread(target=self.process.stdout.read, daemon=True)
        self._reader.start()

    def get(self, path: str = "", **headers: str) -> tuple[int, str, Any]:
        """Status, text and headers of an answer."""
        request = urllib.request.Request(self.url + path, headers={"Accept-Language": "en"} | headers)
        try:
            with _OPENER.open(request, timeout=WAIT_s) as answer:
                return answer.status, answer.read().decode("utf-8", "replace"), answer.headers
        except urllib.error.HTTPError as error:
            with error:
                return error.code, error.read().decode("utf-8", "replace"), error.headers

    def token(self) -> str:
        """The token of a new page."""
        found = self.get()
        while found[0] == 429:  # this address has opened many; who waits is let in
            time.sleep(0.2)
            found = self.get()
        return token_in(found[1])

    def peak_MB(self) -> float:
        """The most memory the process ever had."""
        status = Path(f"/proc/{self.process.pid}/status").read_text()
        return int(re.search(r"VmHWM:\s*(\d+) kB", status)[1]) / 1024  # type: ignore[index]

    def log(self) -> list[str]:
        """What the process has written for whoever started it."""
        self._log.flush()
        return Path(self._log.name).read_text("utf-8", "replace").splitlines()

    def forget_log(self) -> None:
        """Begin a new log."""
        self._log.truncate(0)

    def alive(self) -> bool:
        """Whether a new page is handed out and its document comes."""

        async def look() -> bool:
            async with Stranger(self, self.token()) as one:
                return "roots" in await one.pull()

        return run_async(look())

    def stop(self) -> None:
        """End the process."""
        self.process.terminate()
        self.process.wait(20)
        self._reader.join(20)
        if self.process.stdout is not None:
            self.process.stdout.close()
        self._log.close()


class Stranger:
    """A web socket of the page, with which nothing is checked before it is sent; to be used as a context."""

    def __init__(self, house: House, token: str, **headers: str) -> None:
        self._house, self._token, self._headers = house, token, headers
        self._number = 0
        self.socket: Any = None
        self.gone = False

    async def __aenter__(self) -> Stranger:
        url = self._house.url.replace("http", "ws", 1) + "ws"
        request = HTTPRequest(url, headers=self._headers, connect_timeout=WAIT_s, request_timeout=WAIT_s)
        self.socket = await asyncio.wait_for(
            websocket_connect(request, subprotocols=["bokeh", self._token]), WAIT_s
        )
        await self.hear()  # the server's greeting
        return self

    async def __aexit__(self, *_error: object) -> None:
        self.socket.close()
        while not self.gone:
            await self.part()
        await asyncio.sleep(0.05)  # the loop lets go of the socket

    async def send(self, *parts: str | bytes) -> None:
        """Parts of a message, as they are."""
        try:
            for part in parts:
                await self.socket.write_message(part, binary=isinstance(part, bytes))
        except WebSocketClosedError:
            pass  # the server has had enough

    async def say(self, content: Any, kind: str = "PATCH-DOC", **header: Any) -> str:
        """A whole message; gives back its id."""
        self._number += 1
        name = f"s{self._number}"
        head = {"msgid": name, "msgtype": kind} | header
        await self.send(*(json.dumps(part) for part in (head, {}, content)))
        return name

    async def hear(self) -> tuple[dict[str, Any], str] | None:
        """The next message: header and content; None when the server has closed the connection."""
        parts: list[str] = []
        while len(parts) < 3:
            part = await self.part()
            if part is None:
                return None
            parts.append(part if isinstance(part, str) else "")
        head = json.loads(parts[0])
        for _ in range(2 * int(head.get("num_buffers", 0))):
            await self.part()
        return head, parts[2]

    async def part(self) -> str | bytes | None:
        """One part of a message; None when the server has closed the connection."""
        if not self.gone:
            part: str | bytes | None = await asyncio.wait_for(self.socket.read_message(), WAIT_s)
            self.gone = part is None  # which is told once
            return part
        return None

    async def answer(self, name: str) -> tuple[str, str]:
        """Kind and content of the answer to a message; ("closed", "") when the connection was ended."""
        while True:
            heard = await self.hear()
            if heard is None:
                return "closed", ""
            if heard[0].get("reqid") == name:
                return heard[0]["msgtype"], heard[1]

    async def ask(self, content: Any, kind: str = "PATCH-DOC", **header: Any) -> tuple[str, str]:
        """Say a whole message and wait for its answer."""
        return await self.answer(await self.say(content, kind, **header))

    async def pull(self) -> str:
        """The document, as JSON."""
        return (await self.ask({}, "PULL-DOC-REQ"))[1]

    async def parts(self) -> dict[str, str]:
        """Ids of the page's parts by their names."""
        roots = json.loads(await self.pull())["doc"]["roots"]
        return {root["attributes"].get("name", ""): root["id"] for root in roots}


def visit(house: House, act: Callable[[Stranger], Coroutine[Any, Any, Any]], token: str = "") -> Any:
    """Open a page and let somebody act at its socket."""

    async def run() -> Any:
        async with Stranger(house, token or await asyncio.to_thread(house.token)) as one:
            return await act(one)

    return run_async(run())
