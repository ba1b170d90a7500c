"""What does the work of a study: this process, all cores of this machine, or a dask cluster."""

from __future__ import annotations

import multiprocessing
import os
import re
import signal
import sys
import threading
from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import contextmanager
from typing import Any, NoReturn

import pvsim
from pvsim.errors import StudyError

MAX_WORKERS = 512
_ADDRESS = re.compile(r"(?:(?:tcp|tls|ws|wss)://)?(?:\[[0-9A-Fa-f:.]+\]|[\w.-]+):\d{1,5}")
ANSWER_s = 10.0  # how long a scheduler may take to answer


def cores() -> int:
    """Cores this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def check_workers(workers: int) -> int:
    """Refuse a number of processes that cannot be."""
    if isinstance(workers, bool) or not isinstance(workers, int) or not 1 <= workers <= MAX_WORKERS:
        raise StudyError(
            f"workers are {workers!r}",
            expected=f"a whole number from 1 to {MAX_WORKERS}",
            mend="Leave it out to use all cores",
        )
    return workers


def pool(workers: int) -> ProcessPoolExecutor:
    """Processes of this machine that leave Ctrl+C to the one that started them.

    Notes
    -----
    Forking starts at once, knows what is loaded already and asks nothing of a script. Where
    other threads run it may hang, so there, and outside Linux, processes start afresh.
    """
    alone = sys.platform == "linux" and threading.active_count() == 1
    context = multiprocessing.get_context("fork" if alone else "spawn")
    return ProcessPoolExecutor(workers, mp_context=context, initializer=_leave_interrupts)


def _leave_interrupts() -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def executor_of(engine: Any) -> Executor:
    """The executor of an engine: itself, or the one a dask client gives.

    Raises
    ------
    StudyError
        If it is neither.
    """
    if hasattr(engine, "get_executor"):
        return engine.get_executor(pure=False)  # type: ignore[no-any-return]
    if not hasattr(engine, "submit"):
        raise StudyError(
            f"executor is a {type(engine).__name__}",
            expected="an executor of concurrent.futures or a client of dask.distributed",
            mend="Leave it out to use all cores of this machine",
        )
    return engine  # type: ignore[no-any-return]


def hands(engine: Any) -> int:
    """How many pieces of work an engine does at once, as far as it says so."""
    if hasattr(engine, "nthreads"):
        return max(1, sum(map(int, engine.nthreads().values())))
    return int(getattr(engine, "_max_workers", None) or cores())


@contextmanager
def dask_client(address: str) -> Iterator[Any]:
    """A client of the dask scheduler at an address, its workers looked at.

    Raises
    ------
    StudyError
        If nothing answers there, or its workers lack this version of pvsim.
    ModuleNotFoundError
        If dask.distributed is not installed.
    """
    if not _ADDRESS.fullmatch(address):
        _refuse_address(f"{address[:80]!r} is no address of a dask scheduler")
    from distributed import Client

    try:
        client = Client(address, timeout=ANSWER_s, set_as_default=False)
    except (OSError, ValueError, TimeoutError) as error:
        _refuse_address(f"no dask scheduler answers at '{address[:80]}' ({type(error).__name__})", error)
    with client:
        _check_cluster(client)
        yield client


def _refuse_address(wrong: str, error: Exception | None = None) -> NoReturn:
    raise StudyError(
        wrong,
        expected="the address of a running scheduler, such as tcp://127.0.0.1:8786",
        mend="Start one with 'dask scheduler', and workers for it with 'dask worker ADDRESS'",
    ) from error


def _check_cluster(client: Any) -> None:
    try:
        found = set(client.run(version).values())
    except Exception as error:  # whatever a worker without pvsim raises, or a lost one
        found = {type(error).__name__}
    if found != {pvsim.__version__}:
        what = ", ".join(sorted(found)) if found else "no workers"
        raise StudyError(
            f"the dask cluster has {what}",
            expected=f"workers with pvsim {pvsim.__version__}",
            mend="Install this version of pvsim in the environment of every worker, then start them",
        )


def version() -> str:
    """The version of pvsim where this runs."""
    return pvsim.__version__


def is_lost(error: BaseException) -> bool:
    """Whether an error says that an engine lost work, not that the work was wrong."""
    from concurrent.futures import BrokenExecutor, CancelledError

    of_dask = type(error).__module__.split(".")[0] == "distributed"
    return of_dask or isinstance(error, (BrokenExecutor, CancelledError))
