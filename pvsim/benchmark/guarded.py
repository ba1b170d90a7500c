"""A process of the benchmark's own, ended whatever happens."""

from __future__ import annotations

import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

END_s = 10.0  # after that a process is killed


@contextmanager
def guarded(
    *arguments: str, longest_s: float, **pipes: Any
) -> Iterator[tuple[subprocess.Popen[str], Callable[[], None]]]:
    """Python with these arguments, killed when it takes longer.

    Parameters
    ----------
    longest_s : float
        In s.
    **pipes
        Of `subprocess.Popen`; stdout is always one.

    Yields
    ------
    process : Popen
        Ended when the block is left.
    release : callable
        Let it take as long as it likes from here on.
    """
    command = [sys.executable, *arguments]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, **pipes)
    guard = threading.Timer(longest_s, process.kill)
    guard.start()
    try:
        yield process, guard.cancel
    finally:
        guard.cancel()
        _end(process)


def _end(process: subprocess.Popen[str]) -> None:
    """End a process, killing it when it does not end by itself."""
    process.terminate()
    try:
        process.communicate(timeout=END_s)
    except subprocess.TimeoutExpired:
        process.kill()
        process.communicate()
