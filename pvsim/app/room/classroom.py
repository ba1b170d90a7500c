"""The classroom: what a lecturer's session holds of its class."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterable, Mapping
from typing import TYPE_CHECKING, Any

from pvsim.errors import StoreError
from pvsim.words import language, mark, speaking

if TYPE_CHECKING:
    from bokeh.document import Document

    from pvsim.app.door.admission import Crowd
    from pvsim.app.room.hub import Hub
    from pvsim.store import RoomState, Tally

__all__ = ["Classroom"]


class Classroom:
    """One lecturer's class, or none yet.

    Every method that writes raises StoreError with one clear sentence when the store cannot do it; then
    nothing was changed, and the same call can be made again.

    Parameters
    ----------
    hub : Hub
        Of this server process.
    document : Document or None
        The session's document, in which changes are told; None tells them at once.

    Attributes
    ----------
    trouble : str
        Why the class cannot be read or written just now; empty when all is well.
    """

    def __init__(self, hub: Hub, document: Document | None = None) -> None:
        self._hub, self._document = hub, document
        self._state: RoomState | None = None
        self._key = ""
        self._language = language().code  # of the session; what is heard comes from outside it
        self._watchers: list[Callable[[], None]] = []
        self._leave: Callable[[], None] | None = None
        self._told = True
        self.trouble = ""
        if document is not None:
            document.on_session_destroyed(lambda _: self._stop_listening())

    # What is there

    @property
    def is_open(self) -> bool:
        """Whether a class is open."""
        return self._state is not None and self._state.open

    @property
    def code(self) -> str:
        """What phones type; empty while no class is open."""
        return self._state.code if self._state else ""

    @property
    def key(self) -> str:
        """The lecturer's secret, with which `enter` and the notes window get in."""
        return self._key

    @property
    def title(self) -> str:
        """The title of the class."""
        return self._state.title if self._state else ""

    @property
    def network(self) -> bool:
        """Whether phones can reach this server: it was started with --network."""
        return self._hub.network

    @property
    def address(self) -> str:
        """Where others on the network find this server; empty where it serves this machine alone."""
        return self._hub.address if self._hub.network and "//127." not in self._hub.address else ""

    @property
    def join_url(self) -> str:
        """The short address at which phones are asked for the code."""
        return f"{self._hub.address}/join"

    @property
    def url(self) -> str:
        """The address of this class for phones; empty while no class is open."""
        return f"{self.join_url}/{self.code}" if self.code else ""

    @property
    def notes_path(self) -> str:
        """The notes window, seen from the lecturer's page; empty while no class is open."""
        return f"/notes/{self.code}#{self._key}" if self.code else ""

    @property
    def poll(self) -> int | None:
        """The latest poll."""
        return self._state.poll if self._state else None

    @property
    def round(self) -> int:
        """The latest round of the latest poll: 0, 1 or 2."""
        return self._state.round if self._state else 0

    @property
    def asking(self) -> bool:
        """Whether phones can answer just now."""
        return self._state is not None and self._state.asking

    @property
    def count(self) -> int:
        """How many phones have answered in the latest round."""
        tally = self.tally()
        now = tally.in_round(self.round) if tally else None
        return now.phones if now else 0

    @property
    def crowd(self) -> Crowd:
        """What one address has sent, of all that came to this process."""
        return self._hub.gate.crowd(self.code)

    def tally(self) -> Tally | None:
        """All answers to the latest poll, by round; None before the first poll."""
        return self._state.tally if self._state else None

    def watch(self, watcher: Callable[[], None]) -> Callable[[], None]:
        """Call back after every change, in the session's document; the function given back ends that."""
        self._watchers.append(watcher)
        return lambda: self._watchers.remove(watcher) if watcher in self._watchers else None

    # What the lecturer does

    def open(self, title: str) -> None:
        """Open a class; one that is open already is closed."""
        if self.is_open:
            self.close()
        room = self._hub.store().open_room(title)
        self._key = room.key
        self._take(room.code)

    def enter(self, code: str, key: str) -> bool:
        """Go on with an open class, as after a reload of the page; False if this is not its key."""
        if not self._hub.store().holds(code, key):
            return False
        self._key = key
        self._take(code)
        return True

    def close(self) -> None:
        """End the class: phones are told; what was answered stays in the store."""
        if self.is_open:
            self._change(lambda store, code: store.close_room(code))
        self._stop_listening()

    def show(self, scene: dict[str, Any]) -> None:
        """Tell notes windows what is on the screen now, as plain JSON."""
        self._change(lambda store, code: store.show(code, scene))

    def ask(self, sheet: dict[str, Any]) -> None:
        """Put a question to the class and begin its first round; see `pvsim.store.sheet.check_sheet`."""

        def asked(store: Any, code: str) -> None:
            store.begin_round(store.open_poll(code, sheet), 1)

        self._change(asked)

    def again(self) -> None:
        """Begin the second round of the same question."""
        self._change(lambda store, _: store.begin_round(self._asked(), 2))

    def go_on(self) -> None:
        """Take answers again in the round that was stopped last."""
        self._change(lambda store, _: store.begin_round(self._asked(), self.round))

    def stop(self) -> None:
        """Take no more answers in this round."""
        self._change(lambda store, _: store.end_round(self._asked()))

    def set_hands(self, counts: Mapping[int, int] | Iterable[int], round: int | None = None) -> None:
        """Keep how many hands were raised for each choice; in the latest round unless another is named."""
        number = self.round if round is None else round
        self._change(lambda store, _: store.hands(self._asked(), number, counts))

    def _asked(self) -> int:
        if self.poll is None:
            raise StoreError(
                mark("nothing was asked yet"), expected=mark("a question"), mend=mark("Ask one first")
            )
        return self.poll

    def _change(self, write: Callable[[Any, str], None]) -> None:
        if not self.is_open:
            raise StoreError(
                mark("no class is open"), expected=mark("an open one"), mend=mark("Open a class first")
            )
        store = self._hub.store()
        write(store, self.code)
        self._hear(store.look(self.code))
        self._hub.wake(self.code)

    # What is heard

    def _take(self, code: str) -> None:
        self._stop_listening()
        self._state = None
        self._hear(self._hub.store().look(code))
        try:
            asyncio.get_running_loop()
        except RuntimeError:
            return  # no server runs here: nobody else is heard
        self._leave = self._hub.listen(code, self._hear)

    def _hear(self, news: RoomState | StoreError | None) -> None:
        if isinstance(news, StoreError):
            with speaking(self._language):
                told = str(news)
            changed, self.trouble = told != self.trouble, told
        else:
            old = self._state
            if news and old and news.code == old.code and news.revision < old.revision:
                return  # read before this session's own latest change
            changed = bool(self.trouble) or news != old
            self.trouble, self._state = "", news
        if changed:
            self._tell()

    def _tell(self) -> None:
        if self._document is None:
            self._call_back()
        elif self._told:  # else they will be told of this together with what came before
            self._told = False
            self._document.add_next_tick_callback(self._call_back)

    def _call_back(self) -> None:
        self._told = True
        with speaking(self._language):
            for watcher in tuple(self._watchers):
                watcher()

    def _stop_listening(self) -> None:
        if self._leave is not None:
            self._leave()
        self._leave = None
