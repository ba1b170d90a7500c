"""The gate: who may come in, how fast one may speak, and how fast codes may be tried.

A whole class may stand behind one address of a router, or each phone have its own; from here both look
alike. So nobody is kept out for his address alone: what comes from it is bounded, and told to the lecturer.
"""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Callable
from itertools import islice
from typing import Any, NamedTuple

__all__ = ["Bucket", "Crowd", "Gate"]

MAX_PHONES = 3000  # connections to one process
MAX_IN_ROOM = 1200
MAX_FROM_ADDRESS = 320  # 300 phones behind one router, and those that come back before they are missed
MAX_VOTERS_FROM_ADDRESS = 400  # in one room; less than a store takes, so that one cannot fill it alone
MAX_ADDRESSES = 1000  # remembered for that; a class has some hundred
WRONG_AT_ONCE, WRONG_1_s = 60, 0.5  # codes of no class from one address; of 300 people some 30 mistype
WAIT_s, MOST_WAITING = 2.0, 20  # beyond that each is held back so long, and so many at a time: ten a second


class Crowd(NamedTuple):
    """What an address has done in a room, as far as this process knows.

    Parameters
    ----------
    most, everybody : int
        Voters from the address that sent the most of them, and from all.
    wrong : int
        Codes of no class that came from the address that tried the most of them.
    """

    most: int = 0
    everybody: int = 0
    wrong: int = 0


class Gate:
    """Who is in. Addresses stay in memory while the process lives, and are written nowhere."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._rooms: Counter[str] = Counter()
        self._addresses: Counter[str] = Counter()
        self._voters: dict[tuple[str, str], set[str]] = {}  # of rooms that somebody is in
        self._known: dict[tuple[str, str], None] = {}  # code and address from which somebody got in
        self._tries: dict[str, Bucket] = {}
        self._wrong: Counter[str] = Counter()
        self._waiting: Counter[str] = Counter()

    def knock(self, code: str, address: str) -> float | None:
        """How many seconds to wait before a code is looked up; None when too many wait already.

        A code with which somebody at this address got in is looked up at once, whatever else comes from
        there: a class is not locked out by one of its neighbours. `knocked` has to follow, unless None.
        """
        if (code, address) in self._known or self._bucket(address).take():
            return 0.0
        if self._waiting[address] >= MOST_WAITING:
            return None
        self._waiting[address] += 1
        return WAIT_s

    def knocked(self, code: str, address: str, *, waited: bool, there: bool) -> None:
        """What came of it: whether there is such a class. A right code costs nothing."""
        if waited:
            self._waiting -= Counter({address: 1})
        if not there:
            self._wrong[address] += 1
            if self._known.pop((code, address), "") is None:
                self._bucket(address).take()
            return
        if (code, address) not in self._known and not waited:
            self._bucket(address).give_back()
        self._known[code, address] = None
        _forget(self._known)

    def crowd(self, code: str) -> Crowd:
        """What a lecturer should know of a room."""
        counts = [len(voters) for (room, _), voters in self._voters.items() if room == code]
        return Crowd(max(counts, default=0), sum(counts), max(self._wrong.values(), default=0))

    def _bucket(self, address: str) -> Bucket:
        found = self._tries.setdefault(address, Bucket(WRONG_AT_ONCE, WRONG_1_s, self._clock))
        for gone in _forget(self._tries):
            self._wrong.pop(gone, None)
        return found

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
        known = self._voters.setdefault((code, address), set())
        _forget(self._voters)
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

    def give_back(self) -> None:
        """Undo a `take`."""
        self._left = min(self._size, self._left + 1.0)


def _forget(known: dict[Any, Any]) -> list[Any]:
    """Let go of those that have been there longest, once there are too many; who they were."""
    gone = list(islice(known, max(0, len(known) - MAX_ADDRESSES)))
    for key in gone:
        del known[key]
    return gone
