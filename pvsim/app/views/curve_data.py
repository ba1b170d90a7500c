"""What the curves show: key figures, differences, axes and a difference curve, as plain values."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from pvsim.app.words import _, voltage_symbol
from pvsim.circuit import Characteristic, Element, PowerPoint, operate, solve

__all__ = [
    "Axes",
    "Change",
    "Difference",
    "Quantity",
    "axes_around",
    "axes_of",
    "changes",
    "decimals_for",
    "difference",
    "filling",
    "holding",
    "leaves_axes",
    "magnified",
    "on_curve",
    "reach",
    "widest_gap",
]

Floats = NDArray[np.float64]
Quantity = Literal["current", "power"]
Span = tuple[float, float]

MOST_STEPS = 10  # beyond twice the axes a curve is offered axes of its own
FACTORS = tuple(float(step * 10**power) for power in range(6) for step in (1, 2, 5))


@dataclass(frozen=True, slots=True, kw_only=True)
class Axes:
    """The ranges of the figures, each (least, most), in V, A and W."""

    voltage_V: Span
    current_A: Span
    power_W: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One key figure, now and before.

    Parameters
    ----------
    key : str
        "isc", "voc", "imp", "vmp", "pmp" or "ff".
    symbol : (letters, index)
        As the trade writes it: ("I", "sc").
    name, unit : str
        In words, and A, V, W or "" for the fill factor.
    now : float
        In that unit; the fill factor as a fraction.
    before : float or None
        None when there is nothing to compare with.
    decimals : int
        Digits worth showing.
    """

    key: str
    symbol: tuple[str, str]
    name: str
    unit: str
    now: float
    before: float | None
    decimals: int


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


def decimals_for(scale: float) -> int:
    """Decimals that show about four figures of a quantity as large as `scale`, one at least."""
    if not scale > 0.0:
        return 1
    return int(min(3, max(1, 3 - np.floor(np.log10(scale)))))


def changes(now: Characteristic, before: Characteristic | None) -> tuple[Change, ...]:
    """The six key figures in the order they are read off: Isc, Voc, Imp, Vmp, Pmp, FF."""
    both = [now] if before is None else [now, before]
    tops = {
        "A": max(abs(one.isc_A) for one in both),
        "V": max(abs(one.voc_V) for one in both),
        "W": max(abs(one.mpp.power_W) for one in both),
    }

    def change(key: str, symbol: tuple[str, str], name: str, unit: str) -> Change:
        return Change(
            key=key,
            symbol=symbol,
            name=name,
            unit=unit,
            now=key_value(now, key),
            before=None if before is None else key_value(before, key),
            decimals=decimals_for(tops[unit]) if unit else 3,
        )

    return (
        change("isc", ("I", "sc"), _("short-circuit current"), "A"),
        change("voc", (voltage_symbol(), "oc"), _("open-circuit voltage"), "V"),
        change("imp", ("I", "mp"), _("current at maximum power"), "A"),
        change("vmp", (voltage_symbol(), "mp"), _("voltage at maximum power"), "V"),
        change("pmp", ("P", "mp"), _("maximum power"), "W"),
        change("ff", ("FF", ""), _("fill factor"), ""),
    )


def key_value(curve: Characteristic, key: str) -> float:
    """One key figure of a curve by its key."""
    values = {
        "isc": curve.isc_A,
        "voc": curve.voc_V,
        "imp": curve.mpp.current_A,
        "vmp": curve.mpp.voltage_V,
        "pmp": curve.mpp.power_W,
        "ff": curve.fill_factor,
    }
    return float(values[key])


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
    low = max(axes.voltage_V[0], operate(circuit, current_A=1.05 * axes.current_A[1]).voltage_V)
    high = min(axes.voltage_V[1], operate(circuit, current_A=1.2 * axes.current_A[0]).voltage_V)
    return solve(circuit, points=points, window=(low, high) if low < high else None)


def leaves_axes(curve: Characteristic, axes: Axes) -> bool:
    """Whether a key point of the curve lies outside the axes, so that fitting them is worth offering."""
    points = [(0.0, curve.isc_A), (curve.voc_V, 0.0)]
    points += [(one.voltage_V, one.current_A) for one in curve.mpps]
    V_least, V_most = axes.voltage_V
    I_least, I_most = axes.current_A
    outside = any(not (V_least <= V <= V_most and I_least <= I <= I_most) for V, I in points)
    return outside or curve.mpp.power_W > axes.power_W[1]


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


def difference(
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
