"""The addresses of a class on the server."""

from __future__ import annotations

from typing import Any

from pvsim.app.door.names import Names
from pvsim.app.room.hub import Hub
from pvsim.app.room.notes import NotesPage, NotesSocket
from pvsim.app.room.phone import EntryPage, PhonePage, PhoneSocket
from pvsim.app.room.plain_page import handed_on

__all__ = ["class_routes"]

CODE = r"([^/]{1,40})"


def class_routes(
    hub: Hub, language: str = "", names: Names | None = None
) -> list[tuple[str, type, dict[str, Any]]]:
    """Patterns and handlers, for a server; of the parameters see `handed_on`."""
    shared = handed_on(hub, language, names)
    return [
        (r"/join/?", EntryPage, shared),
        (rf"/join/{CODE}", PhonePage, shared),
        (rf"/join/{CODE}/socket", PhoneSocket, shared),
        (rf"/notes/{CODE}", NotesPage, shared),
        (rf"/notes/{CODE}/socket", NotesSocket, shared),
    ]
