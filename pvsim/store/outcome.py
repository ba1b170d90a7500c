"""What a phone gives, and what became of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

__all__ = ["Given", "Outcome"]

Outcome = Literal["kept", "closed", "full", "unknown", "wrong"]
"""On disk; after the round's end; one voter too many; no such poll; no answer to this question."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """An answer on its way to the store.

    Parameters
    ----------
    poll : int
    round : int
        1 before the discussion, 2 after it.
    voter : str
        The phone's own random word; only a digest of it, different in every poll, is kept.
    value : float
        The choice counted from 0, or the number in the sheet's unit.
    """

    poll: int
    round: int
    voter: str
    value: float
