"""What has changed on a part's curve: the present one less the earlier one, at equal voltage."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from pvsim.circuit import Characteristic, PowerPoint
from pvsim.circuit.floats import Floats
from pvsim.reading.axes import Axes, Span

__all__ = ["Difference", "Quantity", "difference_of", "magnified", "on_curve", "widest_gap"]

Quantity = Literal["current", "power"]

FACTORS = tuple(float(step * 10**power) for power in range(6) for step in (1, 2, 5))


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """Now minus before over the voltages both curves share.

    Parameters
    ----------
    voltage_V, value : (n,)
        Voltage in V and the difference, in A or W.
    peak_V, peak : float
        Where in the range that counts it is greatest, and its signed value there.
    least, most : float
        Its extremes in the same range.
    """

    voltage_V: Floats
    value: Floats
    peak_V: float
    peak: float
    least: float
    most: float


def on_curve(curve: Characteristic, voltage_V: Floats, quantity: Quantity) -> Floats:
    """Current (A) or power (W) of a curve at these voltages, linear in current between its points.

    Parameters
    ----------
    voltage_V : (n,)
        In V, within the curve.

    Returns
    -------
    (n,)
        In A or W.
    """
    current = np.interp(voltage_V, curve.voltage_V, curve.current_A)
    return current if quantity == "current" else current * voltage_V


def difference_of(
    now: Characteristic, before: Characteristic, quantity: Quantity, *, reverse: Axes | None = None
) -> Difference:
    """Now minus before at equal voltage, at every voltage where either curve has a point.

    Its extremes count from V = 0 up to the greater Voc; where the reverse side is shown, over all
    that its axes hold of both curves.
    """
    low = max(now.voltage_V[0], before.voltage_V[0])
    high = min(now.voltage_V[-1], before.voltage_V[-1])
    V = np.union1d(now.voltage_V, before.voltage_V)
    V = V[(low <= V) & (high >= V)]
    value = on_curve(now, V, quantity) - on_curve(before, V, quantity)
    seen = max(now.voc_V, before.voc_V) >= V
    if reverse is None:
        seen &= V >= 0.0
    else:
        seen &= V >= reverse.voltage_V[0]
        for curve in (now, before):
            seen &= on_curve(curve, V, "current") <= reverse.current_A[1]
    if not seen.any():
        return Difference(voltage_V=V, value=value, peak_V=0.0, peak=0.0, least=0.0, most=0.0)
    at = int(np.flatnonzero(seen)[np.argmax(np.abs(value[seen]))])
    return Difference(
        voltage_V=V,
        value=value,
        peak_V=float(V[at]),
        peak=float(value[at]),
        least=float(value[seen].min()),
        most=float(value[seen].max()),
    )


def magnified(changes: Sequence[Difference], span: Span) -> tuple[float, Span]:
    """How many times differences can be magnified, and the axis that goes with them.

    Parameters
    ----------
    changes : sequence of Difference
        Their extremes in the range that counts set the factor.
    span : (least, most)
        The axis of the curve itself, in the same unit.

    Returns
    -------
    factor : float
        1, 2, 5, 10, 20, ... up to 500 000, such that the difference fills at most 85 % of its side;
        1 also for no difference at all.
    axis : (least, most)
        As wide as `span` divided by the factor; zero lies where the difference needs it.
    """
    width = span[1] - span[0]
    up = max([0.0, *(one.most for one in changes)])
    down = max([0.0, *(-one.least for one in changes)])
    if up + down == 0.0:
        return 1.0, (-0.5 * width, 0.5 * width)
    # Three places for the zero line only, so that it does not creep while something is dragged.
    below = min((0.25, 0.5, 0.75), key=lambda share: abs(share - down / (up + down)))
    need = max(up / (1.0 - below), down / below)
    fitting = [factor for factor in FACTORS if factor * need <= 0.85 * width]
    factor = fitting[-1] if fitting else 1.0
    return factor, (-below * width / factor, (1.0 - below) * width / factor)


def widest_gap(now: Characteristic, before: Characteristic, axes: Axes) -> PowerPoint | None:
    """The point of the earlier curve that lies farthest from the present one, both within the axes.

    None when no point is off by 1.5 % of the axes both in current and in voltage: on a steep branch
    two polylines of one curve differ in current, and where they lie on each other nothing is to be named.
    """
    V = before.voltage_V
    I = before.current_A
    seen = (axes.voltage_V[0] <= V) & (axes.voltage_V[1] >= V) & (I >= 0.0) & (axes.current_A[1] >= I)
    seen &= (now.voltage_V[0] <= V) & (now.voltage_V[-1] >= V)
    if not seen.any():
        return None
    up = np.abs(on_curve(now, V, "current") - I) / (axes.current_A[1] - axes.current_A[0])
    at_I = np.interp(-I, -now.current_A, now.voltage_V)  # current falls along a curve
    across = np.abs(at_I - V) / (axes.voltage_V[1] - axes.voltage_V[0])
    gap = np.where(seen & (up >= 0.015) & (across >= 0.015), up, 0.0)
    at = int(np.argmax(gap))
    if gap[at] == 0.0:
        return None
    return PowerPoint(voltage_V=float(V[at]), current_A=float(I[at]), power_W=float(V[at] * I[at]))
