"""A room: one class on one evening, its code for the phones and the lecturer's key."""

from __future__ import annotations

import secrets
from dataclasses import dataclass, field
from hashlib import sha256
from typing import Any

from pvsim.store.tally import Tally

__all__ = ["ALPHABET", "CODE_LENGTH", "Room", "RoomState", "digest", "new_code", "new_key", "read_code"]

ALPHABET = "34679ACDEFGHJKMNPQRTWXY"  # without 0 O, 1 I L, 2 Z, 5 S, 8 B, U V: read from the last row
CODE_LENGTH = 5  # 6.4 million codes, of which a store has at most some hundred open


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """A room that was just opened.

    Parameters
    ----------
    code : str
        What phones type.
    key : str
        The lecturer's secret; the store keeps a digest only, so it cannot be asked for again.
    title : str
    """

    code: str
    key: str = field(repr=False)
    title: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomState:
    """A room as it is now.

    Parameters
    ----------
    code, title : str
    open : bool
        Whether the class goes on.
    revision : int
        Rises with every write of the room.
    scene : dict
        What is on the lecturer's screen, as plain JSON.
    poll : int or None
        The latest poll.
    sheet : dict or None
        Its question.
    round : int
        Its latest round; 0 before the first.
    asking : bool
        Whether that round takes answers.
    tally : Tally or None
        Its answers so far.
    """

    code: str
    title: str
    open: bool
    revision: int
    scene: dict[str, Any]
    poll: int | None = None
    sheet: dict[str, Any] | None = None
    round: int = 0
    asking: bool = False
    tally: Tally | None = None


def new_code() -> str:
    """A code for phones, by chance."""
    return "".join(secrets.choice(ALPHABET) for _ in range(CODE_LENGTH))


def new_key() -> str:
    """A secret for the lecturer, by chance."""
    return secrets.token_urlsafe(18)


def digest(*words: object) -> str:
    """What is kept in place of a secret."""
    return sha256("\0".join(map(str, words)).encode("utf-8", "replace")).hexdigest()[:40]


def read_code(typed: object) -> str | None:
    """The code that somebody typed, in whatever case and spacing; None if it can be no code."""
    if not isinstance(typed, str) or len(typed) > 4 * CODE_LENGTH:
        return None
    code = "".join(one for one in typed.upper() if one not in " -.\t")
    return code if len(code) == CODE_LENGTH and set(code) <= set(ALPHABET) else None
