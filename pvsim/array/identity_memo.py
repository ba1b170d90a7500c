"""A small memory keyed on the identity of values.

Hashing an array of thousands of modules costs more than looking it up; the parts of a
scenario that a change leaves alone stay the same objects, so identity is enough.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from threading import Lock
from typing import Generic, TypeVar

Value = TypeVar("Value")


class IdentityMemo(Generic[Value]):
    """Keeps the latest results, each with the values it was made from, kept alive."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._kept: OrderedDict[tuple[int, ...], tuple[tuple[object, ...], Value]] = OrderedDict()
        self._lock = Lock()

    def get(self, parts: tuple[object, ...], make: Callable[[], Value]) -> Value:
        """The value made from these very parts, made now if it is not kept."""
        key = tuple(map(id, parts))
        with self._lock:
            found = self._kept.get(key)
            if found is not None:
                self._kept.move_to_end(key)
                return found[1]
        value = make()
        with self._lock:
            self._kept[key] = (parts, value)
            while len(self._kept) > self._most:
                self._kept.popitem(last=False)
        return value
