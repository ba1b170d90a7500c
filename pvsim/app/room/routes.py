"""The addresses of a class on the server."""

from __future__ import annotations

from typing import Any

from pvsim.app.door.names import Names
from pvsim.app.room.hub import Hub
from pvsim.app.room.notes import NotesPage, NotesSocket
from pvsim.app.room.phone import EntryPage, PhonePage, PhoneSocket

__all__ = ["class_routes"]

CODE = r"([^/]{1,40})"


def class_routes(
    hub: Hub, language: str = "", names: Names | None = None
) -> list[tuple[str, type, dict[str, Any]]]:
    """Patterns and handlers, for a server.

    Parameters
    ----------
    hub : Hub
    language : str
        What is spoken to a browser in which nobody has chosen; "" for what that browser likes best.
    names : Names or None
        Of the server, from whose pages alone sockets are opened; None for those of this machine to itself.
    """
    shared = {"hub": hub, "gate": hub.gate, "language": language, "names": names or Names()}
    return [
        (r"/join/?", EntryPage, shared),
        (rf"/join/{CODE}", PhonePage, shared),
        (rf"/join/{CODE}/socket", PhoneSocket, shared),
        (rf"/notes/{CODE}", NotesPage, shared),
        (rf"/notes/{CODE}/socket", NotesSocket, shared),
    ]
