"""One process for one command: it starts and ends without work that nobody waits for.

Half of a short command is Python and numpy getting ready. Looking for garbage among what is just being
imported, starting threads that small matrices never use, and taking a process apart that the system
frees as a whole are another fifth.
"""

from __future__ import annotations

import gc
import os

# Importing and solving make 40,000 objects that stay; what makes more than this is looked through again.
_SELDOM = 100_000
_usual = gc.get_threshold()


def run() -> int:
    """Run the command line as the whole purpose of this process.

    Returns
    -------
    int
        The exit code.
    """
    begin()
    from pvsim.cli import main

    code = main()
    end()
    return code


def begin() -> None:
    """Make this process one that is soon done; to be called before numpy is imported."""
    # Matrices are small here: a pool of threads would only make numpy start later.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    gc.set_threshold(_SELDOM, *_usual[1:])


def end() -> None:
    """Leave what is still there to the system instead of looking through it once more."""
    gc.freeze()


def look_as_usual() -> None:
    """Look for garbage as often as any Python does: in a process that goes on, or is itself measured."""
    gc.set_threshold(*_usual)
