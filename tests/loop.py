"""Coroutines run in tests: in a thread of their own, as a browser driven beside them has this one's loop."""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from contextvars import copy_context
from typing import Any, TypeVar

from tornado.ioloop import IOLoop
from tornado.iostream import BaseIOStream

__all__ = ["run_async"]

T = TypeVar("T")


def run_async(work: Coroutine[Any, Any, T]) -> T:
    """Run a coroutine to its end, in the context of the test; what it raises is raised here.

    Whatever connection it leaves open is closed then: a socket that outlives its loop is told of later, while
    another test is at work.
    """
    with ThreadPoolExecutor(1) as thread:
        return thread.submit(copy_context().run, asyncio.run, _and_hang_up(work)).result()


async def _and_hang_up(work: Coroutine[Any, Any, T]) -> T:
    try:
        return await work
    finally:
        for _file, heard in list(IOLoop.current().handlers.values()):
            stream = getattr(heard, "__self__", None)
            if isinstance(stream, BaseIOStream):
                stream.close()
