"""Local maxima of power, each found to solver tolerance from points that bracket it."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from pvsim.circuit.solution import Floats, PowerPoint

_ROUNDS = 60

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
    V, first = np.unique(V, return_index=True)
    I = I[first]
    F = I + V * slope_A_per_V[first]  # dP/dV
    left = np.flatnonzero((F[:-1] > 0.0) & (F[1:] <= 0.0) & (V[1:] > 0.0) & (I[:-1] > 0.0))
    if not left.size:
        return ()
    low, high, F_low, F_high = V[left], V[left + 1], F[left], F[left + 1]
    side = np.zeros(len(left))
    for _ in range(_ROUNDS):
        span = high - low
        # Regula falsi with the Illinois halving, kept inside the bracket.
        V = np.clip(low + span * F_low / (F_low - F_high), low + 0.01 * span, high - 0.01 * span)
        I, slope = evaluate(V)
        F = I + V * slope
        up = F > 0.0
        F_high = np.where(up & (side > 0), 0.5 * F_high, np.where(up, F_high, F))
        F_low = np.where(~up & (side < 0), 0.5 * F_low, np.where(up, F, F_low))
        low, high = np.where(up, V, low), np.where(up, high, V)
        side = np.where(up, 1.0, -1.0)
        # Power is flat here: what is missed goes with the square of the voltage step.
        if np.all((np.abs(F) <= 1e-10 * np.maximum(I, 1e-9)) | (high - low <= 1e-12 * high)):
            break
    found = zip(V.tolist(), I.tolist(), strict=True)
    return tuple(PowerPoint(voltage_V=v, current_A=i, power_W=v * i) for v, i in found if v > 0.0 and i > 0.0)


def greatest(peaks: tuple[PowerPoint, ...]) -> PowerPoint:
    """The peak of the most power; all zero where there is none."""
    nothing = PowerPoint(voltage_V=0.0, current_A=0.0, power_W=0.0)
    return max(peaks, key=lambda peak: peak.power_W, default=nothing)
