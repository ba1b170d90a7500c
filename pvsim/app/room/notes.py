"""The notes window: what only the lecturer sees, on another screen or a tablet."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING, Any

from pvsim.app.door.admission import Bucket
from pvsim.app.room.notes_words import notes_words
from pvsim.app.room.plain_page import PlainPage, PlainSocket, read_message
from pvsim.app.words import speaking
from pvsim.errors import StoreError

if TYPE_CHECKING:
    from pvsim.store import RoomState

__all__ = ["NotesPage", "NotesSocket", "notes_view"]

TEXTS = ("lesson", "step", "moment", "notes", "next", "next_notes")
LONGEST_KEY = 100
AT_ONCE, RATE_1_s = 5, 0.2  # keys that one connection may try


class NotesPage(PlainPage):
    """GET /notes/CODE: the page alone; the key stands behind the # and goes over the socket."""

    def get(self, typed: str) -> None:
        """The page; it shows nothing of a class before the key was right."""
        from pvsim.store.room import read_code

        with speaking(self.speaks):
            self.show("notes.html", words=notes_words(), code=read_code(typed) or "")


class NotesSocket(PlainSocket):
    """The socket of a notes window."""

    async def open(self, typed: str) -> None:
        """Let it knock; it hears nothing yet."""
        self._bucket = Bucket(AT_ONCE, RATE_1_s)
        self._told: dict[str, Any] | None = None
        await self.come_in(typed)

    @property
    def greeted(self) -> bool:
        """Whether its key was right."""
        return self.listens

    def refuse_code(self) -> None:
        """As a key that is wrong."""
        self.say({"refused": True})

    async def on_message(self, message: str | bytes) -> None:
        """Take the key."""
        if self.ending:
            return
        if not self._bucket.take():
            self.close(1008, "flood")
            return
        asked = read_message(message)
        key = asked.get("key")
        if self.listens or asked.get("do") != "hello" or not isinstance(key, str):
            return
        try:
            holds = len(key) <= LONGEST_KEY and await self.hub.holds(self.code, key)
            state = await self.hub.look(self.code) if holds else None
        except StoreError as error:
            self._tell(error)
            return
        if state is None:
            self.say({"refused": True})
        else:
            self.listen(state)

    def hear(self, news: RoomState | StoreError | None) -> None:
        """Show what has changed."""
        if isinstance(news, StoreError):
            self._tell(news)
            return
        view = notes_view(news)
        if view != self._told:
            self._told = view
            self.say({"notes": view, "now": time.time()})

    def _tell(self, error: StoreError) -> None:
        self._told = None  # and all of it again when the trouble is over
        with speaking(self.speaks):
            self.say({"trouble": str(error)})


def notes_view(state: RoomState | None) -> dict[str, Any]:
    """What the notes window shows of a room: its scene, and the count of answers as it is now.

    Parameters
    ----------
    state : RoomState or None
    """
    if state is None or not state.open:
        return {"open": False}
    scene = state.scene
    now = state.tally.in_round(state.round) if state.tally else None
    return {
        "open": True,
        "title": state.title,
        **{key: scene[key] if isinstance(scene.get(key), str) else "" for key in TEXTS},
        "started": _number(scene.get("started")),
        "planned_minutes": _number(scene.get("planned_minutes")),
        "round": state.round,
        "asking": state.asking,
        # Without phones hands and an imaginary class are counted by the lecture itself.
        "answers": now.phones + sum(now.hands) if now else int(_number(scene.get("answers")) or 0),
    }


def _number(value: object) -> float | None:
    return float(value) if isinstance(value, int | float) and not isinstance(value, bool) else None
