"""How deep dicts and lists lie in one another: what was read may be too deep for whoever goes through it."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice
from typing import Any

__all__ = ["DEEPEST", "is_too_deep", "levels"]

DEEPEST = 100  # a circuit of 30 levels has 60


def levels(values: object) -> Iterator[list[Any]]:
    """What lies in nested dicts and lists, level by level; the values themselves are the first."""
    level: list[Any] = [values]
    while level:
        yield level
        nested = [one for one in level if isinstance(one, dict | list)]
        inside = [one.values() if isinstance(one, dict) else one for one in nested]
        level = [one for several in inside for one in several]


def is_too_deep(values: object) -> bool:
    """Whether there are more than `DEEPEST` levels."""
    return any(True for _ in islice(levels(values), DEEPEST, None))
