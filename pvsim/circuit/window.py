"""Which stretch of a characteristic is shown, and where along it its points lie."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from pvsim.circuit.solution import Floats

_MARGIN = 0.15  # of Isc shown beyond either axis
_DARK_CURRENT_A = 0.1  # scale of the axes where no light falls
_LEAST_VOLTAGE_V = 0.05
_REVERSE_V = 40.0  # as far into reverse as any cell's breakdown lies


def scales(isc_A: float, voc_V: float) -> tuple[float, float]:
    """The current and voltage against which a curve is drawn."""
    return max(abs(isc_A), _DARK_CURRENT_A), max(abs(voc_V), _LEAST_VOLTAGE_V)


def window_of(voltage_at: Callable[[Floats], Floats], isc_A: float, voc_V: float) -> tuple[float, float]:
    """The voltages between which the current is at most 15 % beyond Isc and beyond zero.

    Parameters
    ----------
    voltage_at : callable
        Currents (k,) to the voltages there.
    isc_A, voc_V : float
        Both negative for a part that is connected the wrong way round.

    Returns
    -------
    least, most : float
        In V; within reason where the curve is flat.
    """
    if isc_A < 0.0:
        least, most = window_of(lambda I: -voltage_at(-I), -isc_A, -voc_V)
        return -most, -least
    I_scale, V_scale = scales(isc_A, voc_V)
    most, least = (float(V) for V in voltage_at(np.array([-_MARGIN * I_scale, (1.0 + _MARGIN) * I_scale])))
    most = min(most, max(3.0 * V_scale, 1.0))
    least = max(least, -max(0.5 * V_scale, _REVERSE_V))
    return (least, most) if least < most else (-V_scale, V_scale)


def evenly_drawn(V: Floats, I: Floats, points: int, isc_A: float, voc_V: float) -> Floats:
    """Voltages that lie evenly along a curve as it is drawn.

    Parameters
    ----------
    V, I : (n,)
        The curve, V rising; its first and last point are kept.

    Returns
    -------
    (points,)
        In V, rising.
    """
    I_scale, V_scale = scales(isc_A, voc_V)
    # The reverse side is wide and counts less.
    wide = max(V_scale, -float(V[0]))
    dV = np.diff(V) / np.where(V[1:] <= 0.0, wide, V_scale)
    dI = np.minimum(np.abs(np.diff(I)) / I_scale, 1.5)
    s = np.concatenate(([0.0], np.cumsum(np.hypot(dV, dI))))
    spread: Floats = np.interp(np.linspace(0.0, s[-1], points), s, V)
    return spread
