"""How deep and how wide dicts and lists are: what was read may be too much for whoever goes through it."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice
from typing import Any

__all__ = ["DEEPEST", "WIDEST", "is_too_deep", "is_too_much", "is_too_wide", "levels"]

DEEPEST = 100  # a circuit of 30 levels has 60
WIDEST = 1_000  # keys of one table; a glossary may have 300


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


def is_too_much(values: object) -> bool:
    """Whether they are too deep, or a table in them too wide."""
    return is_too_deep(values) or is_too_wide(values)


def is_too_wide(values: object) -> bool:
    """Whether a table in them has more than `WIDEST` keys; they may not be too deep."""
    return any(isinstance(one, dict) and len(one) > WIDEST for level in levels(values) for one in level)
