"""How much of this machine's memory may hold what would else be made again."""

from __future__ import annotations

import os
from pathlib import Path

SHARE = 1 / 64  # for each kind of thing that is kept
_CONTAINER = Path("/sys/fs/cgroup/memory.max")
_UNKNOWN_BYTES = 4 * 2**30


def memory_bytes() -> int:
    """The memory there is: the machine's, or its container's where that is less."""
    try:
        bytes_ = os.sysconf("SC_PHYS_PAGES") * os.sysconf("SC_PAGE_SIZE")
    except (AttributeError, OSError, ValueError):  # not every system tells
        return _UNKNOWN_BYTES
    try:
        return min(bytes_, int(_CONTAINER.read_text()))
    except (OSError, ValueError):  # no container, or one without a limit
        return bytes_


def kept_at_most(each_bytes: float, least: int) -> int:
    """How many things of a size fit into the share, and never fewer than `least`.

    Parameters
    ----------
    each_bytes : float
        What one of them takes.
    least : int
        With fewer, changing one cell of an ordinary array would make others anew.
    """
    return max(least, int(SHARE * memory_bytes() / each_bytes))
