"""Compiled work on several of the processor's cores at once.

While the kernel works Python is free (ctypes lets go of its lock), so that blocks of points which know
nothing of one another can be worked off side by side. What comes out does not depend on how many cores
there are.
"""

from __future__ import annotations

import os
from collections import deque
from collections.abc import Callable, Sequence
from contextlib import suppress
from functools import cache
from typing import TYPE_CHECKING, TypeVar

from pvsim.circuit import budget, kernel

if TYPE_CHECKING:
    from concurrent.futures import Future, ThreadPoolExecutor

_MOST = 4  # of one circuit: others may be asking, too
_WORTH_HELP = 3  # pieces: another core is called as slowly as it does a small one

Piece = TypeVar("Piece")
Made = TypeVar("Made")


def cores() -> int:
    """How many cores a solve may take: those of this process, at most 4; PVSIM_CORES asks for fewer.

    Without the kernel it is one: numpy lets go of Python's lock too seldom.
    """
    if not kernel.is_compiled():
        return 1
    asked = os.environ.get("PVSIM_CORES", "")
    return max(1, min(_ours(), int(asked) if asked.isdecimal() else _MOST, _MOST))


def work_off(pieces: Sequence[Piece], do: Callable[[Piece], Made]) -> list[Made]:
    """What `do` makes of each piece, in the order of the pieces; on several cores where there are several.

    Parameters
    ----------
    pieces : sequence
        Each some tenths of a millisecond of compiled work; one or two are done here.
    do : callable
        Is called from several threads at once.

    Raises
    ------
    OvertimeError
        If the budget that the caller holds is used up before all is done.
    """
    waiting = deque(enumerate(pieces))
    made: dict[int, Made] = {}

    def help_out(check: Callable[[], None] | None = None) -> None:
        while True:
            try:
                k, piece = waiting.popleft()
            except IndexError:
                return
            if check:
                check()
            made[k] = do(piece)

    threads: list[Future[None]] = []
    try:
        for _ in range(min(cores(), len(pieces)) - 1 if len(pieces) >= _WORTH_HELP else 0):
            with suppress(RuntimeError):  # Python is about to end and takes nobody on any more
                threads.append(_threads().submit(help_out))
        help_out(budget.check)
    finally:
        waiting.clear()
        begun = [thread for thread in threads if not thread.cancel()]  # the others have nothing left to do
        for thread in begun:
            thread.exception()  # waits until it is done
    for thread in begun:
        thread.result()
    return [made[k] for k in range(len(pieces))]


@cache
def _ours() -> int:
    """The cores that this process may run on."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


@cache
def _threads() -> ThreadPoolExecutor:
    from concurrent.futures import ThreadPoolExecutor  # only here: a small circuit has no use for it

    return ThreadPoolExecutor(max(min(_ours(), _MOST) - 1, 1), thread_name_prefix="pvsim-solve")


if hasattr(os, "register_at_fork"):
    os.register_at_fork(after_in_child=_threads.cache_clear)  # a fork has none of its parent's threads
