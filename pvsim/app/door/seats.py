"""Seats: how many pages may be open at once, and how many one address may open.

A page costs about 3 MB and a tenth of a second. Who opens one is connected a moment later; sessions that
never are cost the same, and anybody could have thousands of them made.
"""

from __future__ import annotations

import time
from collections import Counter, OrderedDict
from collections.abc import Callable, Iterable
from typing import Any

from pvsim.app.door.admission import Bucket

__all__ = ["MOST_SESSIONS", "MOST_UNCONNECTED", "Seats", "to_let_go"]

MOST_SESSIONS = 400  # of one process; a larger class has several
MOST_UNCONNECTED = 60  # that nobody has connected to yet
MOST_FROM_ADDRESS = 200  # connected pages; a class may stand behind one address of a campus network
AT_ONCE, RATE_1_s = 120, 4.0  # pages that one address may open
MOST_ADDRESSES = 1000  # remembered for that


class Seats:
    """Who has a seat. Addresses stay in memory while the process lives, and are written nowhere."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._buckets: OrderedDict[str, Bucket] = OrderedDict()
        self._connected: Counter[str] = Counter()

    def may_open(self, address: str) -> bool:
        """Whether an address may open one more page now, which counts."""
        bucket = self._buckets.pop(address, None) or Bucket(AT_ONCE, RATE_1_s, self._clock)
        self._buckets[address] = bucket  # the latest at the end
        if len(self._buckets) > MOST_ADDRESSES:
            self._buckets.popitem(last=False)
        return bucket.take()

    def sit(self, address: str) -> bool:
        """Count a connected page; False when its address has too many."""
        if self._connected[address] >= MOST_FROM_ADDRESS:
            return False
        self._connected[address] += 1
        return True

    def leave(self, address: str) -> None:
        """A connected page is gone."""
        self._connected[address] -= 1
        if self._connected[address] <= 0:
            del self._connected[address]


def to_let_go(sessions: Iterable[Any], was_connected: Callable[[Any], bool]) -> list[Any]:
    """Sessions that make room for one more; those without a page first, the oldest of them first.

    Parameters
    ----------
    sessions : iterable of ServerSession
        All there are.
    was_connected : callable
        Whether somebody has been connected to a session.
    """
    everybody = list(sessions)
    idle = sorted(
        (one for one in everybody if one.connection_count == 0),
        key=lambda one: -one.milliseconds_since_last_unsubscribe,
    )
    fresh = [one for one in idle if not was_connected(one)]
    gone = fresh[: max(0, len(fresh) - MOST_UNCONNECTED + 1)]
    others = [one for one in idle if one not in gone]
    return gone + others[: max(0, len(everybody) - len(gone) - MOST_SESSIONS + 1)]
