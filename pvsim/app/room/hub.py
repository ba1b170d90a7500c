"""The hub: one for each server process, between the store and all who want to know of a room.

What happens in this process is told at once; a look at the rooms' revisions finds what other processes
wrote. Nothing is looked at while nobody listens, and no store is made before a class is opened.
"""

from __future__ import annotations

import asyncio
import logging
import os
from collections.abc import Callable, Coroutine
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from contextvars import Context
from typing import TYPE_CHECKING, Any, TypeVar

from pvsim.app.door.admission import Gate
from pvsim.errors import StoreError
from pvsim.words import mark

if TYPE_CHECKING:
    from pvsim.store import Given, Outcome, RoomState, Store

__all__ = ["Hub", "LOOK_s", "News"]

LOOK_s = 0.4  # how often other processes' writes are looked for
PAUSE_s = 0.1  # between two looks at a busy room: 60 answers in a second are told in ten pieces
BATCH = 200  # answers in one transaction
MAX_WAITING = 2000  # answers that the store has not taken yet; beyond that phones send again later

_log = logging.getLogger(__name__)
T = TypeVar("T")
News = "RoomState | StoreError | None"
Listener = Callable[[Any], None]  # takes News: a room as it is now, why it cannot be read, or None


class Hub:
    """Between one store and the phones, notes windows and lecturers of this process.

    Everything but `store` belongs to the thread of the server's loop.

    Parameters
    ----------
    url : str or None
        Of the store; None for the file in the user's data folder.
    """

    def __init__(self, url: str | None = None) -> None:
        self._url = url
        self.address = ""  # where this server is found, such as http://192.0.2.7:5610
        self.network = False  # whether that address can be reached from other machines
        self.gate = Gate()
        self._store: Store | None = None
        self._listeners: dict[str, list[Listener]] = {}
        self._known: dict[str, int] = {}  # revision last told of
        self._woken: set[str] = set()
        self._bell: asyncio.Event | None = None
        self._watch: asyncio.Task[None] | None = None
        self._waiting: list[tuple[Given, asyncio.Future[Outcome]]] = []
        self._writer: asyncio.Task[None] | None = None
        self._threads: ThreadPoolExecutor | None = None

    def store(self) -> Store:
        """The store, made where it is missing.

        Raises
        ------
        StoreError
            If it cannot be opened for writing, or if the packages for it are not installed.
        """
        if self._store is None:
            from pvsim.store import open_store

            self._store = open_store(self.url)
        return self._store

    def try_store(self) -> None:
        """Open the store and let go of it again, before this process is divided into several."""
        self.store().close()
        self._store = None

    @property
    def url(self) -> str:
        """The store's URL.

        Raises
        ------
        StoreError
            If the packages for a store are not installed.
        """
        try:
            from pvsim.store import default_url

            self._url = self._url or default_url()
        except ModuleNotFoundError as error:
            raise StoreError(
                mark("a class needs the package {package}"),
                expected=mark("it to be installed"),
                mend=mark("Install it with: pip install 'pvsim[class]'"),
                package=error.name,
            ) from None
        return self._url

    def _is_there(self) -> bool:
        """Whether there is a store to look into; looking makes none."""
        if self._store is None:
            from pvsim.store.place import file_of, read_url

            file = file_of(read_url(self.url))
            return file is None or os.path.exists(file)
        return True

    def close(self) -> None:
        """Stop looking, and let go of the store."""
        self._listeners.clear()
        for task in (self._watch, self._writer):
            if task is not None:
                task.cancel()
        if self._threads is not None:
            self._threads.shutdown(wait=True)
        if self._store is not None:
            self._store.close()

    # Listening

    def listen(self, code: str, listener: Listener) -> Callable[[], None]:
        """Tell a listener of every change of a room; the function given back ends that."""
        self._listeners.setdefault(code, []).append(listener)
        if self._watch is None or self._watch.done():
            self._bell = asyncio.Event()
            self._watch = _alone(self._watching())

        def leave() -> None:
            mine = self._listeners.get(code, [])
            if listener in mine:
                mine.remove(listener)
            if not mine:
                self._listeners.pop(code, None)
                self._known.pop(code, None)
                self._ring()

        return leave

    def wake(self, code: str) -> None:
        """Say that a room was changed by this process."""
        if code in self._listeners:
            self._woken.add(code)
            self._ring()

    def tell(self, code: str, news: Any) -> None:
        """Give news to all who listen to a room."""
        for listener in tuple(self._listeners.get(code, ())):
            listener(news)

    def _ring(self) -> None:
        if self._bell is not None:
            self._bell.set()

    async def _watching(self) -> None:
        assert self._bell is not None
        while self._listeners:
            with suppress(TimeoutError):
                await asyncio.wait_for(self._bell.wait(), LOOK_s)
            self._bell.clear()
            await self._look_around()
            await asyncio.sleep(PAUSE_s)

    async def _look_around(self) -> None:
        woken, self._woken = self._woken, set()
        codes = [code for code in self._listeners if code not in woken]
        try:
            if codes:
                found = await self.call(lambda store: store.revisions(codes))
                woken |= {code for code in codes if found.get(code, 0) != self._known.get(code)}
            for code in woken & set(self._listeners):
                state = await self.look(code)
                self._known[code] = state.revision if state else 0
                self.tell(code, state)
        except StoreError as error:
            for code in tuple(self._listeners):
                self._known.pop(code, None)  # told again once the store answers
                self.tell(code, error)

    # The store, outside the loop's thread

    async def look(self, code: str) -> RoomState | None:
        """A room as it is now; None if there is none."""
        return await self.call(lambda store: store.look(code)) if self._is_there() else None

    async def holds(self, code: str, key: str) -> bool:
        """Whether this is the lecturer's key of an open room."""
        return self._is_there() and await self.call(lambda store: store.holds(code, key))

    async def call(self, ask: Callable[[Store], T]) -> T:
        """Ask the store something while the loop goes on."""
        if self._threads is None:
            self._threads = ThreadPoolExecutor(4, thread_name_prefix="pvsim-store")
        loop = asyncio.get_running_loop()
        return await loop.run_in_executor(self._threads, lambda: ask(self.store()))

    async def answer(self, code: str, given: Given) -> Outcome:
        """Keep a phone's answer; it is on disk when this returns.

        All answers that come while the disk is at work are written together.

        Raises
        ------
        StoreError
            If the store could not take it; the phone must send it again.
        """
        if len(self._waiting) >= MAX_WAITING:
            raise StoreError(
                mark("too many answers wait"), expected=mark("a faster store"), mend=mark("Send it again")
            )
        loop = asyncio.get_running_loop()
        kept: asyncio.Future[Outcome] = loop.create_future()
        self._waiting.append((given, kept))
        if self._writer is None or self._writer.done():
            self._writer = _alone(self._write())
        outcome = await kept
        if outcome == "kept":
            self.wake(code)
        return outcome

    async def _write(self) -> None:
        while self._waiting:
            batch, self._waiting = self._waiting[:BATCH], self._waiting[BATCH:]
            given = [one for one, _ in batch]
            try:
                outcomes = await self.call(lambda store, given=given: store.answer_all(given))  # type: ignore[misc]
            except Exception as error:  # also what nobody foresaw: no phone may wait for ever
                for _, kept in batch:
                    if not kept.done():
                        kept.set_exception(_as_told(error))
            else:
                for (_, kept), outcome in zip(batch, outcomes, strict=True):
                    if not kept.done():  # the phone may have gone meanwhile
                        kept.set_result(outcome)


def _alone(work: Coroutine[Any, Any, None]) -> asyncio.Task[None]:
    """A task of no session: it would keep the document, and the language, of whoever began it."""
    return asyncio.get_running_loop().create_task(work, context=Context())


def _as_told(error: Exception) -> StoreError:
    if isinstance(error, StoreError):
        return error
    told = StoreError(
        mark("an answer could not be kept ({kind})"),
        expected=mark("a store that works"),
        mend=mark("Look at what the server printed"),
        kind=type(error).__name__,
    )
    told.__cause__ = error
    _log.error("an answer could not be kept", exc_info=error)
    return told
