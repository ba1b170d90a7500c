"""The gate: how many phones may come in, and how fast one may speak, so that none disturbs the others."""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Callable

__all__ = ["Bucket", "Gate"]

MAX_PHONES = 3000  # connections to one process
MAX_IN_ROOM = 1200
MAX_FROM_ADDRESS = 300  # a whole lecture hall may stand behind one address of a campus network
MAX_VOTERS_FROM_ADDRESS = 400  # in one room; less than a store takes, so that one cannot fill it alone
MAX_ADDRESSES = 1000  # remembered for that; a class has some hundred


class Gate:
    """Who is in. Addresses stay in memory while the process lives, and are written nowhere."""

    def __init__(self) -> None:
        self._rooms: Counter[str] = Counter()
        self._addresses: Counter[str] = Counter()
        self._voters: dict[tuple[str, str], set[str]] = {}  # of rooms that somebody is in

    def enter(self, code: str, address: str) -> bool:
        """Let a connection in; False when there are too many."""
        if (
            self._rooms.total() >= MAX_PHONES
            or self._rooms[code] >= MAX_IN_ROOM
            or self._addresses[address] >= MAX_FROM_ADDRESS
        ):
            return False
        self._rooms[code] += 1
        self._addresses[address] += 1
        return True

    def leave(self, code: str, address: str) -> None:
        """A connection that was let in is gone."""
        for counter, key in ((self._rooms, code), (self._addresses, address)):
            counter[key] -= 1
            if counter[key] <= 0:
                del counter[key]
        if code not in self._rooms:
            self._voters = {key: voters for key, voters in self._voters.items() if key[0] != code}

    def vote(self, code: str, address: str, voter: str) -> bool:
        """Whether a voter may answer; False when one address sends ever new ones."""
        if (code, address) not in self._voters and len(self._voters) >= MAX_ADDRESSES:
            self._voters.pop(next(iter(self._voters)))  # the one that has been there longest
        known = self._voters.setdefault((code, address), set())
        if voter not in known and len(known) >= MAX_VOTERS_FROM_ADDRESS:
            return False
        known.add(voter)
        return True


class Bucket:
    """So many messages at once, and so many a second from then on.

    Parameters
    ----------
    size : float
        At once.
    rate_1_s : float
        A second.
    clock : callable
        Seconds.
    """

    __slots__ = ("_clock", "_left", "_rate", "_size", "_then")

    def __init__(self, size: float, rate_1_s: float, clock: Callable[[], float] = time.monotonic) -> None:
        self._size, self._rate, self._clock = size, rate_1_s, clock
        self._left, self._then = size, clock()

    def take(self) -> bool:
        """Whether one more is within bounds."""
        now = self._clock()
        self._left = min(self._size, self._left + (now - self._then) * self._rate)
        self._then = now
        if self._left < 1.0:
            return False
        self._left -= 1.0
        return True
