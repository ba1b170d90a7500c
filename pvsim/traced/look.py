"""A closer and closer look at one hypothesis: at which size it fits a measured curve, and how well."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import log

import numpy as np

from pvsim.circuit.floats import Floats
from pvsim.traced.known_curves import Hypothesis, KnownCurves, scattered_at, solved_at
from pvsim.traced.likelihood import FINE, ROUGH, Likelihood, Measured, Modelled, likelihood

__all__ = ["Look", "fares_now", "first_look", "look_between", "look_closer", "modelled"]

_FINER = 9  # sizes tried between two that are known
# Before the curve is looked at, parts in order are thirty times as many as those with any one kind of fault.
# Our own choice.
IN_ORDER_BEFORE = log(30.0)


@dataclass(frozen=True, slots=True, eq=False)
class Look:
    """A hypothesis at its best size.

    Parameters
    ----------
    hypothesis : Hypothesis
    row : int
        Of the known curve nearest to that size.
    size : float
        In the terms of its family; 0 where that has none.
    log : float
        Logarithm of its likelihood, what it pays beforehand counted in.
    chi_square : float
    current_A : (n,) or None
        Its curve at the known voltages, solved at that size; None before it was looked at closer.
    """

    hypothesis: Hypothesis
    row: int
    size: float
    log: float
    chi_square: float
    current_A: Floats | None = None


def modelled(
    known: KnownCurves, current_A: Floats, measured: Measured, scatter: tuple[Floats, Floats] | None = None
) -> Modelled:
    """Some curves at the points of the measured one.

    Parameters
    ----------
    current_A : (curves, n)
        At the known voltages.
    scatter : ((n,), (n, modes)) or None
        What scatter makes of them on the mean, and its modes, at the known voltages.
    """
    V, dV = measured.voltage_V, measured.noise_V
    wide = float(np.hypot(dV, 0.005 * measured.voc_V))

    def at(rows: Floats, voltage_V: Floats) -> Floats:
        place = (voltage_V - known.voltage_V[0]) / (known.voltage_V[1] - known.voltage_V[0])
        k = np.clip(place.astype(int), 0, known.voltage_V.size - 2)
        found: Floats = rows[..., k] + (place - k) * (rows[..., k + 1] - rows[..., k])
        return found

    mean = modes = None
    if scatter is not None:
        curves = current_A.shape[0]
        mean = np.broadcast_to(at(scatter[0], V), (curves, V.size))
        modes = np.broadcast_to(at(scatter[1].T, V).T, (curves, V.size, scatter[1].shape[1]))
    return Modelled(
        current_A=at(current_A, V),
        slope_A_per_V=(at(current_A, V - dV) - at(current_A, V + dV)) / (2.0 * dV),
        shift_A_per_V=(at(current_A, V - wide) - at(current_A, V + wide)) / (2.0 * wide),
        mean_A=mean,
        modes_A=modes,
    )


def _paid(hypothesis: Hypothesis, count: int) -> float:
    """What a hypothesis pays beforehand: for its size, and for how seldom so many are concerned."""
    before = IN_ORDER_BEFORE if hypothesis.variant.where is None else log(hypothesis.variant.weight)
    return before - 0.5 * bool(hypothesis.family.sizes) * log(count)


def first_look(hypothesis: Hypothesis, rough: Likelihood, count: int) -> Look:
    """A hypothesis at the best of its known curves.

    Parameters
    ----------
    rough : Likelihood
        Of all known curves.
    count : int
        Points of the measured one.
    """
    rows = list(hypothesis.rows)
    row = rows[int(np.argmax(rough.log[rows]))]
    at = rows.index(row)
    size = hypothesis.family.sizes[at] if hypothesis.family.sizes else 0.0
    worth = float(rough.log[row]) + _paid(hypothesis, count)
    return Look(hypothesis, row, size, worth, float(rough.chi_square[row]))


def look_closer(known: KnownCurves, measured: Measured, look: Look) -> Look:
    """Refine the size between known curves, then by curves solved there, with scatter as it is there."""
    scatter = scattered_at(known, look.hypothesis, look.row)

    def fares(rows: Floats) -> Likelihood:
        return likelihood(measured, modelled(known, rows, measured, scatter), smooth=FINE)

    sizes, rows = look.hypothesis.family.sizes, look.hypothesis.rows
    if not sizes:
        found = fares(known.current_A[[look.row]])
        return _of(look, known.current_A[look.row], look.size, found, 0, measured)
    size, step = look.size, 0.0
    low, high = _beside(sizes, rows.index(look.row), size)
    for _round in range(2):
        tried = np.linspace(low, high, _FINER)
        step = float(tried[1] - tried[0])
        size = float(tried[int(np.argmax(fares(_interpolated(known, look, tried)).log))])
        low, high = max(sizes[0], size - step), min(sizes[-1], size + step)
    near = np.unique(np.clip([size - step, size, size + step], sizes[0], sizes[-1]))
    solved = np.array([solved_at(known, look.hypothesis, one) for one in near.tolist()])
    found = fares(solved)
    best = int(np.argmax(found.log))
    return _of(look, solved[best], float(near[best]), found, best, measured)


def look_between(known: KnownCurves, measured: Measured, look: Look) -> Look:
    """A rough look at sizes between the known ones; the row stays that of the nearest."""
    sizes, rows = look.hypothesis.family.sizes, look.hypothesis.rows
    tried = np.linspace(*_beside(sizes, rows.index(look.row), look.size), _FINER)
    found = likelihood(measured, modelled(known, _interpolated(known, look, tried), measured), smooth=ROUGH)
    best = int(np.argmax(found.log))
    worth = float(found.log[best]) + _paid(look.hypothesis, measured.voltage_V.size)
    row = rows[int(np.argmin(np.abs(np.array(sizes) - tried[best])))]
    return replace(
        look, row=row, size=float(tried[best]), log=worth, chi_square=float(found.chi_square[best])
    )


def fares_now(known: KnownCurves, measured: Measured, look: Look) -> Look:
    """A look with the noise as it is now known, at the size it has."""
    assert look.current_A is not None
    scatter = scattered_at(known, look.hypothesis, look.row)
    found = likelihood(measured, modelled(known, look.current_A[None], measured, scatter), smooth=FINE)
    return _of(look, look.current_A, look.size, found, 0, measured)


def _beside(sizes: tuple[float, ...], at: int, size: float) -> tuple[float, float]:
    """Between which sizes the best one lies: the known ones beside it, nearer where one was tried between."""
    low, high = sizes[max(0, at - 1)], sizes[min(len(sizes) - 1, at + 1)]
    if size != sizes[at]:
        step = (high - low) / (_FINER - 1)
        low, high = max(sizes[0], size - 2.0 * step), min(sizes[-1], size + 2.0 * step)
    return low, high


def _interpolated(known: KnownCurves, look: Look, tried: Floats) -> Floats:
    """Curves of sizes between known ones; (sizes, n)."""
    sizes, rows = look.hypothesis.family.sizes, look.hypothesis.rows
    k = np.clip(np.searchsorted(sizes, tried, side="right") - 1, 0, len(sizes) - 2)
    share = (tried - np.take(sizes, k)) / (np.take(sizes, k + 1) - np.take(sizes, k))
    below, above = known.current_A[np.take(rows, k)], known.current_A[np.take(rows, k + 1)]
    between: Floats = below + share[:, None] * (above - below)
    return between


def _of(look: Look, current_A: Floats, size: float, found: Likelihood, k: int, measured: Measured) -> Look:
    worth = float(found.log[k]) + _paid(look.hypothesis, measured.voltage_V.size)
    return replace(look, size=size, log=worth, chi_square=float(found.chi_square[k]), current_A=current_A)
