"""Local maxima of power, each found to solver tolerance from points that bracket it."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from pvsim.circuit import budget
from pvsim.circuit.floats import Floats
from pvsim.circuit.solution import PowerPoint

_ROUNDS = 60
_NEAR = 1e-6
_FLAT = 5e-9  # |dP/dV| over I that counts as the top
# In a bracket this narrow, over V, no junction bends much: from this near a tangent goes all the way.
_NARROW, _NEAR_TOP = 2e-4, 1e-5

_ROUNDING = 1e-15  # volts and amperes: in the dark less than that is left over, and is no maximum

# Voltages of several points to their currents and dI/dV.
Evaluate = Callable[[Floats], tuple[Floats, Floats]]


def power_peaks(V: Floats, I: Floats, slope_A_per_V: Floats, evaluate: Evaluate) -> tuple[PowerPoint, ...]:
    """Every local maximum of power with V > 0 and I > 0.

    Parameters
    ----------
    V, I, slope_A_per_V : (n,)
        Points of a falling characteristic in any order; each maximum must lie alone
        between two of them.
    evaluate : callable
        Voltages (k,) to the currents and slopes there, (k,) each. The k brackets are
        refined together, so it is always asked for the same number of points.

    Returns
    -------
    tuple of PowerPoint
        Voltage rising.
    """
    first = V.argsort(kind="stable")
    points = np.stack((V, I, slope_A_per_V))[:, first]
    distinct = points[0, 1:] > points[0, :-1]
    if not distinct.all():
        points = points[:, np.concatenate(([True], distinct))]
    low, high = brackets(points)
    if not low.size:
        return ()
    for k in range(_ROUNDS):
        budget.check()
        # Now and then the middle, so that no bracket sticks.
        V = cubic_peaks(low, high) if k % 6 < 5 else 0.5 * (low[0] + high[0])
        I, slope = evaluate(V)
        F, narrow = I + V * slope, high[0] - low[0] <= _NARROW * V
        up, here = F > 0.0, np.stack((V, I, slope))
        low, high = np.where(up, here, low), np.where(up, high, here)
        near = np.abs(F) <= np.where(narrow, _NEAR_TOP, _FLAT) * np.maximum(I, 1e-9)
        if np.all(near | (high[0] - low[0] <= 1e-12 * high[0])):
            break
    # The last step, from the point nearest to the top, is short enough for tangents.
    fall = _power_slope(low) - _power_slope(high)
    step = F * (high[0] - low[0]) / np.where(fall > 0.0, fall, np.inf)
    found = zip((V + step).tolist(), (I + slope * step).tolist(), strict=True)
    return tuple(
        PowerPoint(voltage_V=v, current_A=i, power_W=v * i)
        for v, i in found
        if v > _ROUNDING and i > _ROUNDING
    )


def brackets(points: Floats) -> tuple[Floats, Floats]:
    """The neighbours between which power turns from rising to falling.

    Parameters
    ----------
    points : (3, n)
        V rising, I, dI/dV.

    Returns
    -------
    low, high : (3, k)
        The points before and after each maximum.
    """
    V, I, _ = points
    rises = _power_slope(points) > 0.0
    left = np.flatnonzero(rises[:-1] & ~rises[1:] & (V[1:] > 0.0) & (I[:-1] > 0.0))
    return points[:, left], points[:, left + 1]


def _power_slope(points: Floats) -> Floats:
    """dP/dV of points (V, I, dI/dV)."""
    slope: Floats = points[1] + points[0] * points[2]
    return slope


def cubic_peaks(low: Floats, high: Floats) -> Floats:
    """V (k,) where the cubics between points low and high, (3, k) each, peak in power."""
    return np.array([_cubic_peak(*ends) for ends in zip(low.T.tolist(), high.T.tolist(), strict=True)])


def _cubic_peak(low: list[float], high: list[float]) -> float:
    V0, I0, s0 = low
    V1, I1, s1 = high
    h = V1 - V0
    d0, d1, rise = s0 * h, s1 * h, I1 - I0
    F0, F1 = I0 * h + V0 * d0, I1 * h + V1 * d1  # dP by the share of the way, times h
    if h < _NEAR * V1:
        # So near that differences of I are rounding: the slopes alone still say it.
        t = min(max(F0 / (F0 - F1), 1e-3), 1.0 - 1e-3) if F0 > F1 else 0.5
        return V0 + t * h
    b, a = 3.0 * rise - 2.0 * d0 - d1, d0 + d1 - 2.0 * rise
    least, most = 0.0, 1.0
    t = F0 / (F0 - F1) if F0 > 0.0 > F1 else 0.5
    for _ in range(_ROUNDS):
        I = I0 + t * (d0 + t * (b + t * a))
        dI = d0 + t * (2.0 * b + 3.0 * t * a)
        F = I * h + (V0 + t * h) * dI
        least, most = (t, most) if F > 0.0 else (least, t)
        bend = 2.0 * h * dI + (V0 + t * h) * (2.0 * b + 6.0 * t * a)
        new = t - F / bend if bend < 0.0 else least
        if not least < new < most:
            new = 0.5 * (least + most)
        if abs(new - t) * h < 1e-14 * V1:
            break
        t = new
    return V0 + min(max(t, 1e-9), 1.0 - 1e-9) * h


def greatest(peaks: tuple[PowerPoint, ...]) -> PowerPoint:
    """The peak of the most power; all zero where there is none."""
    nothing = PowerPoint(voltage_V=0.0, current_A=0.0, power_W=0.0)
    return max(peaks, key=lambda peak: peak.power_W, default=nothing)
