"""Counts work in calls of functions: the same number on a slow machine as on a quick one."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType


class TooMuchWork(BaseException):
    """More functions were called than are allowed; no reader catches it."""


@contextmanager
def most_calls(most: int) -> Iterator[None]:
    """Stop what happens within once it has called so many functions, those written in C among them."""
    count = 0

    def look(frame: FrameType, event: str, argument: object) -> None:
        nonlocal count
        count += 1
        if count > 2 * most:  # a call and a return
            sys.setprofile(None)
            raise TooMuchWork(f"more than {most:,} calls")

    before = sys.getprofile()
    sys.setprofile(look)
    try:
        yield
    finally:
        sys.setprofile(before)
