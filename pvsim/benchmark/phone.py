"""A class of phones without browsers, and the lecturer's page beside them, over the same web sockets.

Run as a process of its own, `python -m pvsim.benchmark.phone URL COUNT SECONDS`, it joins with all phones,
says so on a line, waits for a line, answers, says what it measured, waits, and leaves.
"""

from __future__ import annotations

import asyncio
import json
import re
import sys
import time
from random import Random
from urllib.parse import urljoin

from tornado.httpclient import AsyncHTTPClient
from tornado.websocket import WebSocketClientConnection, websocket_connect

from pvsim.benchmark.student import PATIENCE_s, Student, beats, enter, tell

SETTLE_s = 1.0  # after the last answer, for the lecturer's page


class Lecturer:
    """The lecturer's page: when each number was seen on it first."""

    def __init__(self, student: Student, code: str) -> None:
        self._student, self.code = student, code
        self.seen: dict[str, float] = {}

    async def watch(self) -> None:
        """Read all that the page is told, for ever."""
        while True:
            _head, content = await self._student.message()
            now = time.perf_counter()
            for number in re.findall(r"n(\d+\.\d{3})n", content):
                self.seen.setdefault(number, now)

    def leave(self) -> None:
        """Close the page."""
        self._student.leave()


class Phone:
    """A phone that says a number nobody else says, another one each time."""

    def __init__(self, socket: WebSocketClientConnection, number: int) -> None:
        self._socket, self._number, self._count = socket, number, 0
        self._about: dict[str, int] = {}
        self.sent: dict[str, float] = {}
        self.kept_s: list[float] = []

    async def come(self) -> None:
        """Say hello and wait for the question."""
        await self._socket.write_message(json.dumps({"do": "hello", "voter": f"phone-{self._number:012d}"}))
        while not self._about:
            poll = (await self._hear("room"))["room"]["poll"]
            if poll is not None:
                self._about = {"poll": poll["id"], "round": poll["round"]}

    async def answer(self) -> None:
        """Answer, and wait for the word that it is on disk."""
        value = f"{self._number + 1}.{self._count:03d}"
        self._count += 1
        begin = self.sent[value] = time.perf_counter()
        await self._socket.write_message(json.dumps({"do": "answer", **self._about, "value": value}))
        await self._hear("kept")
        self.kept_s.append(time.perf_counter() - begin)

    async def work(self, seconds: float, random: Random) -> None:
        """Answer once a second; each phone begins at another moment."""
        async for _beat in beats(seconds, random):
            await self.answer()

    def leave(self) -> None:
        """Hang up."""
        self._socket.close()

    async def _hear(self, key: str) -> dict[str, dict[str, dict[str, int]]]:
        while True:
            text = await asyncio.wait_for(self._socket.read_message(), PATIENCE_s)
            if text is None:
                raise ConnectionError("the server closed the connection")
            message: dict[str, dict[str, dict[str, int]]] = json.loads(text)
            if key in message:
                return message


async def lecture(url: str) -> Lecturer:
    """Open the lecturer's page, which opens a class."""
    student, _seconds = await enter(url, AsyncHTTPClient())
    found = re.search(r"code (\w{5})\.", student.document)
    if found is None:
        raise ValueError("the lecturer's page shows no code")
    return Lecturer(student, found[1])


async def attend(url: str, count: int, seconds: float) -> None:
    """A class: join, answer once a second, all answer in one moment, leave."""
    lecturer = await lecture(url)
    watching = asyncio.create_task(lecturer.watch())
    address = urljoin(url, f"join/{lecturer.code}/socket").replace("http", "ws", 1)
    phones = [Phone(await websocket_connect(address), number) for number in range(count)]
    await asyncio.gather(*(one.come() for one in phones))
    await tell({"joined": count})
    await asyncio.gather(*(one.work(seconds, Random(number)) for number, one in enumerate(phones)))
    usual = [one for phone in phones for one in phone.kept_s]
    await asyncio.gather(*(one.answer() for one in phones))
    at_once = [one.kept_s[-1] for one in phones]
    await asyncio.sleep(SETTLE_s)
    watching.cancel()
    sent = {value: when for one in phones for value, when in one.sent.items()}
    seen = [lecturer.seen[value] - when for value, when in sent.items() if value in lecturer.seen]
    unseen = len(sent) - len(seen)
    await tell({"replies_s": usual + at_once, "at_once_s": at_once, "seen_s": seen, "unseen": unseen})
    for one in phones:
        one.leave()
    lecturer.leave()
    await asyncio.sleep(1.0)


if __name__ == "__main__":
    asyncio.run(attend(sys.argv[1], int(sys.argv[2]), float(sys.argv[3])))
