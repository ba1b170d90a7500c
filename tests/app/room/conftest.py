"""A server with a class of its own, and phones without a browser."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Callable, Coroutine, Iterator
from pathlib import Path
from typing import Any

import pytest
from tornado.httpclient import HTTPRequest
from tornado.websocket import websocket_connect

pytest.importorskip("sqlalchemy", reason="a class needs the extra pvsim[class]")

from pvsim.app.room.classroom import Classroom
from pvsim.app.room.hub import Hub
from pvsim.app.room.plain_page import PlainSocket
from tests.app.conftest import Served
from tests.loop import run_async

VOTER = "phone-of-somebody-{:04d}"


class Class(Served):
    """A server whose one class is taught from the test."""

    def __init__(self, hub: Hub, **settings: Any) -> None:
        self.hub = hub
        super().__init__(hub=hub, **settings)
        self.room = self.call(lambda: Classroom(hub))

    def do(self, name: str, *args: Any) -> Any:
        """Let the lecturer do something."""
        return self.call(lambda: getattr(self.room, name)(*args))

    def get(self, name: str) -> Any:
        """What the lecturer sees."""
        return self.call(lambda: getattr(self.room, name))

    def drop_phones(self) -> None:
        """Close the connections of all phones, as a network that goes away does."""

        def drop() -> None:
            for listeners in list(self.hub._listeners.values()):
                for listener in list(listeners):
                    owner = getattr(listener, "__self__", None)
                    if isinstance(owner, PlainSocket):
                        owner.close()

        self.call(drop)

    def stop(self) -> None:
        """Stop serving."""
        self.call(self.hub.close)
        super().stop()


@pytest.fixture
def store_file(tmp_path: Path) -> str:
    """The URL of a store in a folder that is not there yet."""
    return f"sqlite:///{tmp_path / 'folder' / 'classes.sqlite'}"


@pytest.fixture
def hub(store_file: str) -> Iterator[Hub]:
    """A hub without a server."""
    hub = Hub(store_file)
    hub.address = "http://192.0.2.7:5610"
    yield hub
    hub.close()


@pytest.fixture
def taught(tmp_path: Path) -> Iterator[Class]:
    """A server with an open class."""
    served = Class(Hub(f"sqlite:///{tmp_path / 'classes.sqlite'}"))
    served.do("open", "Evening class")
    yield served
    served.stop()


class Phone:
    """A phone without a browser; to be used within one asyncio.run."""

    def __init__(self, socket: Any) -> None:
        self.socket = socket
        self.heard: list[dict[str, Any]] = []
        self.gone = False

    async def say(self, message: Any) -> None:
        """Send JSON, or raw text or bytes."""
        text = message if isinstance(message, str | bytes) else json.dumps(message)
        await self.socket.write_message(text, binary=isinstance(text, bytes))

    async def hear(self, *keys: str, seconds: float = 10.0) -> Any:
        """The next message that has one of these keys."""
        while True:
            text = await asyncio.wait_for(self.socket.read_message(), seconds)
            assert text is not None, "the connection was closed"
            self.heard.append(json.loads(text))
            for key in keys:
                if key in self.heard[-1]:
                    return self.heard[-1][key]

    async def hear_poll(self, asking: bool = True) -> dict[str, Any]:
        """Wait until a question is asked, or its round is over."""
        while True:
            poll = (await self.hear("room"))["poll"]
            if poll and poll["asking"] == asking:
                return poll

    async def told(self) -> None:
        """Wait for one message, or for the end."""
        text = await self.socket.read_message()
        self.gone = text is None
        if text is not None:
            self.heard.append(json.loads(text))

    async def closed(self, seconds: float = 10.0) -> bool:
        """Whether the server ends the connection."""
        async with asyncio.timeout(seconds):
            while not self.gone:  # the end is told once
                self.gone = await self.socket.read_message() is None
        return True


def meet(taught: Class, lesson: Callable[..., Coroutine[Any, Any, Any]]) -> Any:
    """Run a lesson, which is given a function with which phones join; all of them leave at its end."""

    async def run() -> Any:
        phones: list[Phone] = []
        usual = taught.get("code")

        async def join(number: int = 0, *, code: str = usual, **headers: str) -> Phone:
            address = f"{taught.url.replace('http', 'ws', 1)}join/{code}/socket"
            phones.append(Phone(await websocket_connect(HTTPRequest(address, headers=headers))))
            await phones[-1].say({"do": "hello", "voter": VOTER.format(number)})
            return phones[-1]

        try:
            return await lesson(join)
        finally:
            for phone in phones:
                phone.socket.close()
                await phone.closed()
            await asyncio.sleep(0.05)  # the sockets are let go of by the loop

    return run_async(run())
