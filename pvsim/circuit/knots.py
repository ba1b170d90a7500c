"""At which currents the tables of chains are made: thickly where the curves bend, of many chains together."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pvsim.circuit.floats import Floats

__all__ = ["FEW_CENTRES", "knots_around", "rising", "side_by_side"]

LOG_STEP = 0.18
_FORWARD_STEP = 0.18
_BELOW_ZERO = 0.2  # of its light: as far a curve is shown
FEW_CENTRES = 2


def knots_around(centres: list[Floats], least_A: float, most_A: Floats, finest_A: Floats) -> list[Floats]:
    """Currents that thicken logarithmically towards the centres of each chain, ends included.

    Parameters
    ----------
    centres : list of (n,)
        Of each chain one or more, rising.
    least_A : float
        Where all begin.
    most_A, finest_A : (chains,)
        Where each ends, and how near to its centres they come.

    Returns
    -------
    list of (knots,)
        Of each chain, rising.
    """
    chains = len(centres)
    finest = finest_A[:, None]
    # A chain of fewer centres repeats its last, around which nothing is left.
    c = np.minimum(np.maximum(side_by_side(centres), least_A), most_A[:, None])
    borders = np.empty((chains, c.shape[1] + 1))
    borders[:, 0], borders[:, -1] = least_A, most_A
    borders[:, 1:-1] = 0.5 * (c[:, 1:] + c[:, :-1])
    # Log distance from each centre to the borders of its own stretch, and along all stretches.
    left = np.log1p((c - borders[:, :-1]) / finest)
    right = np.log1p((borders[:, 1:] - c) / finest)
    ends = (left + right).cumsum(axis=1)
    # Of many curves in series each is a small part of the whole, and asks for fewer knots; below all
    # centres they bend together.
    wide = LOG_STEP * np.array([max(len(one) / FEW_CENTRES, 1.0) for one in centres]) ** 0.5
    # That matters from the first centre to where the current has gone a little below zero.
    first, last = left[:, 0], ends[:, -1]
    shown = np.log1p(np.maximum(c[:, 0] + _BELOW_ZERO * c[:, -1], 0.0) / finest_A)
    marks = np.array([np.zeros(chains), first - np.minimum(shown, first), first, last]).T
    steps = np.array([wide, np.minimum(wide, _FORWARD_STEP), wide, wide]).T
    s, lengths = _steps(marks, steps)
    if chains == 1:
        chain, stretch = np.zeros(1, dtype=np.intp), ends[0].searchsorted(s)
    else:
        chain = np.arange(chains).repeat(lengths)
        apart = 2.0 * float(last.max()) + 1.0  # from one chain to the next, so that all rise
        stretch = (ends + apart * np.arange(chains)[:, None]).ravel().searchsorted(s + apart * chain)
    np.minimum(stretch, (chain + 1) * c.shape[1] - 1, out=stretch)
    t = s - (ends - right).ravel()[stretch]  # signed log distance from the centre
    I = c.ravel()[stretch] + np.sign(t) * finest_A[chain] * np.expm1(np.abs(t))
    stops = lengths.cumsum().tolist()
    return [
        rising(np.concatenate((I[start:stop], own)))
        for start, stop, own in zip([0, *stops[:-1]], stops, c, strict=True)
    ]


def _steps(marks: Floats, steps: Floats) -> tuple[Floats, NDArray[np.intp]]:
    """Even steps from each mark of a row to the next, row after row, and how many each row has.

    Parameters
    ----------
    marks : (rows, n)
        Rising.
    steps : (rows, n)
        From each mark to the next no more than this; the last mark stands alone.
    """
    spans = np.zeros(marks.shape)
    np.subtract(marks[:, 1:], marks[:, :-1], out=spans[:, :-1])
    many = np.ceil(spans / steps).astype(np.intp)
    many[:, -1] = 1
    all_ = many.ravel()
    nth = np.arange(all_.sum()) - (all_.cumsum() - all_).repeat(all_)
    s: Floats = marks.ravel().repeat(all_) + nth * (spans / np.maximum(many, 1)).ravel().repeat(all_)
    return s, many.sum(axis=1)


def side_by_side(rows: list[Floats]) -> Floats:
    """Rows of unlike lengths as one array, the short ones going on with their last."""
    if len(rows) == 1:
        return rows[0][None]
    lengths = np.array([len(row) for row in rows])
    place = np.minimum(np.arange(lengths.max()), lengths[:, None] - 1)
    whole: Floats = np.concatenate(rows)[place + (np.cumsum(lengths) - lengths)[:, None]]
    return whole


def rising(x: Floats) -> Floats:
    """The distinct values of x, rising; numpy's own `unique` loads masked arrays first."""
    x = np.sort(x)
    keep = np.empty(len(x), dtype=bool)
    keep[:1] = True
    np.not_equal(x[1:], x[:-1], out=keep[1:])
    return x[keep]
