"""Looks in which a thing is tried: a few each time, every one with PVSIM_LOOKS=all. See DEVELOPERS.md.

A look is a size of the screen, a colour scheme, a language, a size of type. Those of each time are chosen
so that between the tests of a file every size, scheme and language has its turn.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from typing import TypeVar

__all__ = ["looks"]

T = TypeVar("T")


def looks(usual: Iterable[T], seldom: Iterable[T]) -> list[T]:
    """What a test is tried with: the usual ones, and the others too where every look is asked for."""
    every = os.environ.get("PVSIM_LOOKS") == "all"
    return [*usual, *(seldom if every else ())]
