"""What a row of the store may hold: a file that was damaged, or written by others, is not believed."""

from __future__ import annotations

import json
from math import isfinite
from typing import Any

from pvsim.errors import StoreError
from pvsim.store.sheet import check_sheet

__all__ = ["Damaged", "number", "read_scene", "read_sheet", "whole", "words"]

LARGEST_WHOLE = 2**31 - 1  # as PostgreSQL counts


class Damaged(Exception):
    """A row that pvsim cannot have written."""


def read_sheet(text: object) -> dict[str, Any]:
    """The sheet of a poll, with all its keys."""
    try:
        return check_sheet(json.loads(words(text)))
    except (StoreError, ValueError, RecursionError):
        raise Damaged("sheet") from None


def read_scene(text: object) -> dict[str, Any]:
    """The scene of a room."""
    try:
        scene = json.loads(words(text))
    except (ValueError, RecursionError):
        scene = None
    if not isinstance(scene, dict):
        raise Damaged("scene")
    return scene


def words(value: object) -> str:
    """A text."""
    if not isinstance(value, str):
        raise Damaged("text")
    return value


def whole(value: object, most: int = LARGEST_WHOLE) -> int:
    """A whole number from 0."""
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= most:
        raise Damaged("whole number")
    return value


def number(value: object) -> float:
    """A finite number."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not isfinite(value):
        raise Damaged("number")
    return float(value)
