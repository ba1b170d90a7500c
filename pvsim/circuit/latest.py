"""The latest results, a bounded number of them, shared between threads."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Hashable
from threading import Lock
from typing import Generic, TypeVar

Value = TypeVar("Value")


class Latest(Generic[Value]):
    """Keeps what was asked for last.

    Parameters
    ----------
    most : int
        How many.
    """

    def __init__(self, most: int) -> None:
        self._most = most
        self._kept: OrderedDict[Hashable, Value] = OrderedDict()
        self._lock = Lock()

    def get(self, key: Hashable) -> Value | None:
        """What is kept under a key, if anything."""
        with self._lock:
            found = self._kept.get(key)
            if found is not None:
                self._kept.move_to_end(key)
            return found

    def keep(self, key: Hashable, value: Value) -> None:
        """Keep a value, in place of the one not asked for longest when there are too many."""
        with self._lock:
            self._kept[key] = value
            self._kept.move_to_end(key)
            while len(self._kept) > self._most:
                self._kept.popitem(last=False)
