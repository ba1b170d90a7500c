"""Run a study: its cases in chunks, on whatever does the work, rows in the order of the cases."""

from __future__ import annotations

from collections.abc import Callable, Generator, Sequence
from concurrent.futures import Executor, Future, as_completed, wait
from contextlib import AbstractContextManager, nullcontext
from math import ceil
from typing import Any, TypeAlias

import numpy as np

from pvsim.array.index import array_index
from pvsim.errors import StudyError
from pvsim.files.provenance import one_line
from pvsim.study.case import Case, cases_of
from pvsim.study.engine import check_workers, cores, executor_of, hands, is_lost, pool
from pvsim.study.study import Study
from pvsim.study.table import StudyTable
from pvsim.study.work import Row, solve_cases

CHUNK_CELLS = 100_000  # cells of all cases of a chunk: some tenths of a second
CHUNK_CASES = 100
CHUNKS_EACH = 4  # for each worker at least, so that all end together

Progress = Callable[[int, int], None]
Finished: TypeAlias = Generator[tuple[int, list[Row]], None, None]


class StudyInterrupted(KeyboardInterrupt):
    """A study that was interrupted; `table` has the cases done until then."""

    def __init__(self, table: StudyTable) -> None:
        super().__init__(f"{len(table)} of {table.planned} cases done")
        self.table = table


class StudyLost(StudyError):
    """A study whose engine lost work; `table` has the cases done until then."""

    def __init__(self, table: StudyTable, error: BaseException) -> None:
        why = ": ".join(filter(None, (type(error).__name__, one_line(str(error))[:120])))
        super().__init__(
            f"work was lost after {len(table):,} of {table.planned:,} cases ({why})",
            expected="workers that stay until the end",
            mend="Look for a lack of memory, or run it with fewer workers",
        )
        self.table = table


def run_study(
    study: Study,
    *,
    workers: int | None = None,
    executor: Any = None,
    progress: Progress | None = None,
) -> StudyTable:
    """Solve every case of a study.

    Parameters
    ----------
    workers : int or None
        Processes on this machine; 1 stays in this one, None takes all cores where there is work for them.
    executor : Executor or client of dask.distributed, optional
        What does the work instead; it is not shut down.
    progress : callable, optional
        Told how many cases are done, and of how many, now and then.

    Returns
    -------
    StudyTable
        Rows in the order of the cases. A case that cannot be solved says so in its row.

    Raises
    ------
    StudyError
        If there are too many cases; StudyLost if a worker died.
    StudyInterrupted
        On Ctrl+C, with the cases done.
    """
    if workers is not None and executor is not None:
        raise StudyError(
            "workers and executor are both given",
            expected="one of them",
            mend="Leave workers out where an executor does the work",
        )
    cases = cases_of(study)
    if executor is not None:
        count = hands(executor)
    elif workers is not None:
        count = check_workers(workers)
    else:  # a single chunk is done before other processes would have started
        count = cores() if len(chunks_of(study, cases, 1)) > 1 else 1
    chunks = chunks_of(study, cases, count)
    done: dict[int, list[Row]] = {}
    with _opened(executor, min(count, len(chunks))) as engine:
        found = _inside(study, chunks) if engine is None else _handed(study, chunks, engine, done)
        told = 0
        try:
            _tell(progress, 0, len(cases))
            for number, rows in found:
                done[number] = rows
                told += len(rows)
                _tell(progress, told, len(cases))
        except KeyboardInterrupt:
            found.close()
            raise StudyInterrupted(_table(study, len(cases), chunks, done)) from None
        except Exception as error:
            found.close()
            if not is_lost(error):
                raise
            raise StudyLost(_table(study, len(cases), chunks, done), error) from error
    return _table(study, len(cases), chunks, done)


def _opened(executor: Any, workers: int) -> AbstractContextManager[Executor | None]:
    """What does the work; None stands for this process."""
    if executor is not None:
        return nullcontext(executor_of(executor))
    return nullcontext() if workers == 1 else pool(workers)


def chunks_of(study: Study, cases: Sequence[Case], workers: int) -> list[Sequence[Case]]:
    """The cases in runs of neighbours, which share the most."""
    cells = int(array_index(study.base).cell_start[-1])
    fair = ceil(len(cases) / (workers * CHUNKS_EACH)) if workers > 1 else len(cases)
    size = max(1, min(CHUNK_CELLS // cells, CHUNK_CASES, fair))
    return [cases[start : start + size] for start in range(0, len(cases), size)]


def _inside(study: Study, chunks: Sequence[Sequence[Case]]) -> Finished:
    for number, chunk in enumerate(chunks):
        yield number, solve_cases(study, chunk)


def _handed(
    study: Study, chunks: Sequence[Sequence[Case]], executor: Executor, done: dict[int, list[Row]]
) -> Finished:
    """Chunks as they are finished; on the way out, what was begun is still taken in."""
    numbers: dict[Future[list[Row]], int] = {}
    try:
        for number, chunk in enumerate(chunks):
            numbers[executor.submit(solve_cases, study, chunk)] = number
        for future in as_completed(numbers):
            yield numbers[future], future.result()
    finally:
        begun = [future for future in numbers if not future.cancel()]
        wait(begun)
        for future in begun:
            if not future.cancelled() and future.exception() is None:
                done[numbers[future]] = future.result()


def _tell(progress: Progress | None, done: int, planned: int) -> None:
    if progress is not None:
        progress(done, planned)


def _table(
    study: Study, planned: int, chunks: Sequence[Sequence[Case]], done: dict[int, list[Row]]
) -> StudyTable:
    numbers = sorted(done)
    rows = [row for number in numbers for row in done[number]]
    values = np.array([row.values for row in rows], dtype=np.float64)
    return StudyTable(
        study=study,
        planned=planned,
        cases=tuple(case for number in numbers for case in chunks[number]),
        values=values.reshape(len(rows), len(study.columns)),
        problems=tuple(row.problem for row in rows),
    )
