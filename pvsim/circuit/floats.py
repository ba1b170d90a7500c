"""Arrays of numbers, as they go from one function to the next."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

RUN = 12_000  # numbers handled at once: they and what is made of them meanwhile stay in the nearest caches


def slices(first: int, end: int, size: int) -> Iterator[slice]:
    """From first to before end, so many at a time, the last perhaps fewer."""
    return (slice(k, min(k + size, end)) for k in range(first, end, size))


def long_runs(x: Floats) -> Floats:
    """(rows, points) as they are, kept so that the longer axis lies together in memory.

    A row's own numbers are spread over its points, or a point's over all rows: what lies together is one
    run for the processor, and short runs cost as much as the numbers in them. Functions of such an
    array keep its order by themselves.
    """
    return np.asfortranarray(x) if len(x) > x.shape[1] else np.ascontiguousarray(x)


def room(rows: int, points: int) -> Floats:
    """Room for (rows, points), in the order that `long_runs` would keep them in."""
    return np.empty((points, rows)).T if rows > points else np.empty((rows, points))


def pair_like(x: Floats) -> Floats:
    """Room for two arrays like x, (2, *x.shape), in the order in which x is kept."""
    if x.flags.c_contiguous:
        return np.empty((2, *x.shape))
    return np.empty((2, *x.shape[::-1])).transpose(0, 2, 1)


def repeat_rows(x: Floats, rows: NDArray[np.intp], out: Floats | None = None) -> Floats:
    """x[rows], kept as `long_runs` has it, or written into out."""
    if out is not None and out.flags.c_contiguous:
        return x.take(rows, axis=0, out=out, mode="clip")
    made = x.T.take(rows, axis=1).T if len(rows) > x.shape[1] else x.take(rows, axis=0)
    if out is None:
        return made
    out[:] = made
    return out
