"""Coroutines run in tests: in a thread of their own, as a browser driven beside them has this one's loop."""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from contextvars import copy_context
from typing import Any, TypeVar

__all__ = ["run_async"]

T = TypeVar("T")


def run_async(work: Coroutine[Any, Any, T]) -> T:
    """Run a coroutine to its end, in the context of the test; what it raises is raised here."""
    with ThreadPoolExecutor(1) as thread:
        return thread.submit(copy_context().run, asyncio.run, work).result()
