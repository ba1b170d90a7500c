"""What the handlers of a server decide by, and where they find it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any
from weakref import WeakSet

from pvsim.app.door.kin import Kin
from pvsim.app.door.names import Names
from pvsim.app.door.seats import Seats

__all__ = ["DOOR", "Door"]

DOOR = "pvsim_door"  # where the server's handlers find it among their settings


@dataclass(frozen=True, slots=True, kw_only=True)
class Door:
    """What the handlers of one server decide by.

    Parameters
    ----------
    names : Names
    embedders : tuple of str
        Origins whose pages may show this one in a frame.
    language : str
        What the server was told to speak; "" for what each browser likes best.
    seats : Seats
    connected : WeakSet of ServerSession
        Those that somebody has been connected to.
    kin : Kin or None
        The processes that serve with this one.
    """

    names: Names = field(default_factory=Names)
    embedders: tuple[str, ...] = ()
    language: str = ""
    seats: Seats = field(default_factory=Seats)
    connected: WeakSet[Any] = field(default_factory=WeakSet)
    kin: Kin | None = None
