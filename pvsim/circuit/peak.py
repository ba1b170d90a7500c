"""Local maxima of power, each found to solver tolerance from points that bracket it."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from pvsim.circuit.solution import Floats, PowerPoint

_ROUNDS = 60
_NEAR = 1e-6
_FLAT = 5e-9  # |dP/dV| over I that counts as the top

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
    first = np.argsort(V, kind="stable")
    first = first[np.concatenate(([True], np.diff(V[first]) > 0.0))]
    V = V[first]
    I = I[first]
    F = I + V * slope_A_per_V[first]  # dP/dV
    left = np.flatnonzero((F[:-1] > 0.0) & (F[1:] <= 0.0) & (V[1:] > 0.0) & (I[:-1] > 0.0))
    if not left.size:
        return ()
    slope_A_per_V = slope_A_per_V[first]
    low = np.stack((V[left], I[left], slope_A_per_V[left]))
    high = np.stack((V[left + 1], I[left + 1], slope_A_per_V[left + 1]))
    for k in range(_ROUNDS):
        # Where a cubic through both ends peaks; now and then the middle, so that no bracket sticks.
        share = [_peak_share(*ends) if k % 6 < 5 else 0.5 for ends in zip(low.T, high.T, strict=True)]
        V = low[0] + np.array(share) * (high[0] - low[0])
        I, slope = evaluate(V)
        F = I + V * slope
        # Power is flat here: what is missed goes with the square of F.
        if np.all((np.abs(F) <= _FLAT * np.maximum(I, 1e-9)) | (high[0] - low[0] <= 1e-12 * high[0])):
            break
        up, here = F > 0.0, np.stack((V, I, slope))
        low, high = np.where(up, here, low), np.where(up, high, here)
    found = zip(V.tolist(), I.tolist(), strict=True)
    return tuple(PowerPoint(voltage_V=v, current_A=i, power_W=v * i) for v, i in found if v > 0.0 and i > 0.0)


def _peak_share(low: Floats, high: Floats) -> float:
    """Where between two points (V, I, dI/dV) the power of a cubic through them peaks, 0 to 1."""
    V0, I0, s0 = map(float, low)
    V1, I1, s1 = map(float, high)
    h = V1 - V0
    if h < _NEAR * V1:
        # So near that differences of I are rounding: the slopes alone still say it.
        F0, F1 = I0 + V0 * s0, I1 + V1 * s1
        return min(max(F0 / (F0 - F1), 1e-3), 1.0 - 1e-3)
    d0, d1, rise = s0 * h, s1 * h, I1 - I0
    b, a = 3.0 * rise - 2.0 * d0 - d1, d0 + d1 - 2.0 * rise
    least, most, t = 0.0, 1.0, 0.5
    for _ in range(_ROUNDS):
        I = I0 + t * (d0 + t * (b + t * a))
        dI = d0 + t * (2.0 * b + 3.0 * t * a)
        F = I * h + (V0 + t * h) * dI
        least, most = (t, most) if F > 0.0 else (least, t)
        bend = 2.0 * h * dI + (V0 + t * h) * (2.0 * b + 6.0 * t * a)
        new = t - F / bend if bend < 0.0 else least
        if not least < new < most:
            new = 0.5 * (least + most)
        if abs(new - t) < 1e-13:
            break
        t = new
    return min(max(t, 1e-9), 1.0 - 1e-9)


def greatest(peaks: tuple[PowerPoint, ...]) -> PowerPoint:
    """The peak of the most power; all zero where there is none."""
    nothing = PowerPoint(voltage_V=0.0, current_A=0.0, power_W=0.0)
    return max(peaks, key=lambda peak: peak.power_W, default=nothing)
