"""How far a part's curves are shown: axes that stay while things change, and curves that fill them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from pvsim.circuit import Characteristic, Element, PowerPoint, solve, voltage_near

__all__ = ["Axes", "Span", "axes_around", "axes_of", "filling", "holding", "leaves_axes", "reach"]

Span = tuple[float, float]

MOST_STEPS = 10  # beyond twice the axes a curve is offered axes of its own


@dataclass(frozen=True, slots=True, kw_only=True)
class Axes:
    """The ranges of the figures, each (least, most), in V, A and W."""

    voltage_V: Span
    current_A: Span
    power_W: Span


def axes_of(*curves: Characteristic, reverse: bool = False, breakdown_V: float = -np.inf) -> Axes:
    """Axes for a part in good order, with room for what breaking it can do.

    Parameters
    ----------
    *curves : Characteristic
        Of the unbroken part in full light: it sets the scale, so the axes stay while things change.
        Of several parts that share the axes, that of each.
    reverse : bool
        Show the reverse quadrant (V < 0) as far as the curve goes there.
    breakdown_V : float
        No farther than this: one cell's breakdown voltage, beyond which no current can hold it.
    """
    return _axes(curves, reverse=reverse, spare=0.12, least_V=1.03 * breakdown_V)


def axes_around(*curves: Characteristic, reverse: bool = False) -> Axes:
    """Axes that just hold the curves given."""
    return _axes(curves, reverse=reverse, spare=0.05, least_V=-np.inf)


def holding(axes: Axes, *curves: Characteristic) -> Axes:
    """The axes, their upper ends moved out in steps until they hold the key points of these curves too.

    A part in good order sets the axes, and cold or strong light takes it beyond them. Steps of a tenth, so
    that they do not creep while something is dragged.
    """
    points = [point for one in curves for point in one.mpps]
    return Axes(
        voltage_V=_out(axes.voltage_V, [one.voc_V for one in curves]),
        current_A=_out(axes.current_A, [one.isc_A for one in curves]),
        power_W=_out(axes.power_W, [point.power_W for point in points]),
    )


def _out(span: Span, values: Sequence[float]) -> Span:
    least, most = span
    room = 0.03 * (most - least)  # for the ring at the point, and the end of the curve
    steps = 0
    while steps < MOST_STEPS and most * (1.0 + 0.1 * steps) < max(values, default=0.0) + room:
        steps += 1
    return least, most * (1.0 + 0.1 * steps)


def _axes(curves: Sequence[Characteristic], *, reverse: bool, spare: float, least_V: float) -> Axes:
    """Axes around curves; a source the wrong way round is framed as its mirror image would be."""
    ahead = [one for one in curves if one.isc_A >= 0.0]
    turned = [_turned(one) for one in curves if one.isc_A < 0.0]
    frames = [_axes_ahead(ahead, reverse=reverse, spare=spare, least_V=least_V)] if ahead else []
    if turned:
        frame = _axes_ahead(turned, reverse=reverse, spare=spare, least_V=least_V)
        (left, right), (low, high) = frame.voltage_V, frame.current_A
        frames.append(replace(frame, voltage_V=(-right, -left), current_A=(-high, -low)))
    return Axes(
        voltage_V=_around([frame.voltage_V for frame in frames]),
        current_A=_around([frame.current_A for frame in frames]),
        power_W=_around([frame.power_W for frame in frames]),
    )


def _around(spans: list[Span]) -> Span:
    return min(least for least, _ in spans), max(most for _, most in spans)


def _turned(curve: Characteristic) -> Characteristic:
    """The same part connected the other way round; of its maxima of power the greatest point shown."""
    V, I, P = -curve.voltage_V[::-1], -curve.current_A[::-1], curve.power_W[::-1]
    gives = np.where((V > 0.0) & (I > 0.0), P, 0.0)
    k = int(np.argmax(gives))
    best = PowerPoint(voltage_V=float(V[k]), current_A=float(I[k]), power_W=float(gives[k]))
    return replace(
        curve, voltage_V=V, current_A=I, power_W=P, isc_A=-curve.isc_A, voc_V=-curve.voc_V, mpp=best
    )


def _axes_ahead(curves: list[Characteristic], *, reverse: bool, spare: float, least_V: float) -> Axes:
    voc = max(max(one.voc_V for one in curves), 1e-3)
    isc = max(max(one.isc_A for one in curves), 1e-3)
    top_W = max(max(one.mpp.power_W for one in curves), 1e-3 * voc * isc)
    V_least, I_most, P_least = -0.04 * voc, (1.0 + spare) * isc, -0.07 * top_W
    if reverse:
        # Beyond 1.5 Isc the breakdown branch only grows steeper; the knee is what is to be seen.
        I_most = 1.5 * isc
        for one in curves:
            seen = (one.voltage_V < 0.0) & (one.current_A <= I_most) & (one.voltage_V >= least_V)
            V_least = min(V_least, float(one.voltage_V[seen].min(initial=0.0)))
            P_least = min(P_least, float(one.power_W[seen].min(initial=0.0)))
        V_least -= 0.03 * (voc - V_least)
        P_least -= 0.03 * (top_W - P_least)
    V_most = voc + (0.1 if spare > 0.1 else 0.05) * (voc - V_least)
    return Axes(
        voltage_V=(V_least, V_most),
        current_A=(-0.07 * I_most, I_most),
        power_W=(P_least, (1.0 + spare + 0.06) * top_W),
    )


def reach(circuit: Element, curve: Characteristic, axes: Axes, *, points: int = 400) -> Characteristic:
    """The curve itself if it fills the axes, else solved again over all of them.

    A shaded part's own curve ends soon above its own Isc; the currents of its neighbours are
    higher, and what it does at those is what matters.
    """
    V, I = curve.voltage_V, curve.current_A
    left = V[0] > axes.voltage_V[0] and I[0] < axes.current_A[1]
    right = V[-1] < axes.voltage_V[1] and I[-1] > axes.current_A[0]
    return filling(circuit, axes, points=points) if left or right else curve


def filling(circuit: Element, axes: Axes, *, points: int = 400) -> Characteristic:
    """The curve over all of the axes, without solving first how far it goes by itself."""
    # No farther than the current axis reaches: a conducting diode would take all the points there are.
    first_V, last_V = voltage_near(circuit, np.array([1.05 * axes.current_A[1], 1.2 * axes.current_A[0]]))
    low, high = max(axes.voltage_V[0], float(first_V)), min(axes.voltage_V[1], float(last_V))
    return solve(circuit, points=points, window=(low, high) if low < high else None)


def leaves_axes(curve: Characteristic, axes: Axes) -> bool:
    """Whether a key point of the curve lies outside the axes, so that fitting them is worth offering."""
    points = [(0.0, curve.isc_A), (curve.voc_V, 0.0)]
    points += [(one.voltage_V, one.current_A) for one in curve.mpps]
    V_least, V_most = axes.voltage_V
    I_least, I_most = axes.current_A
    outside = any(not (V_least <= V <= V_most and I_least <= I <= I_most) for V, I in points)
    return outside or curve.mpp.power_W > axes.power_W[1]
