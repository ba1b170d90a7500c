"""What the curves show: key figures, differences, axes and a difference curve, as plain values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from pvsim.app.words import _
from pvsim.circuit.solution import Characteristic

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
    "leaves_axes",
    "magnification",
    "on_curve",
]

Floats = NDArray[np.float64]
Quantity = Literal["current", "power"]
Span = tuple[float, float]

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
        Where between V = 0 and the greater Voc it is greatest, and its signed value there.
    """

    voltage_V: Floats
    value: Floats
    peak_V: float
    peak: float


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
        change("voc", ("V", "oc"), _("open-circuit voltage"), "V"),
        change("imp", ("I", "mp"), _("current at maximum power"), "A"),
        change("vmp", ("V", "mp"), _("voltage at maximum power"), "V"),
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


def axes_of(curve: Characteristic, *, reverse: bool = False) -> Axes:
    """Axes for a part in good order, with room for what breaking it can do.

    Parameters
    ----------
    curve : Characteristic
        Of the unbroken part in full light: it sets the scale, so the axes stay while things change.
    reverse : bool
        Show the reverse quadrant (V < 0) as far as the curve goes there.
    """
    return _axes([curve], reverse=reverse, spare=0.12)


def axes_around(now: Characteristic, before: Characteristic | None, *, reverse: bool = False) -> Axes:
    """Axes that just hold the curves given."""
    return _axes([now] if before is None else [now, before], reverse=reverse, spare=0.05)


def _axes(curves: list[Characteristic], *, reverse: bool, spare: float) -> Axes:
    voc = max(max(one.voc_V for one in curves), 1e-3)
    isc = max(max(one.isc_A for one in curves), 1e-3)
    top_W = max(max(one.mpp.power_W for one in curves), 1e-3 * voc * isc)
    V_least, I_most, P_least = -0.04 * voc, (1.0 + spare) * isc, -0.07 * top_W
    if reverse:
        # Beyond 1.5 Isc the breakdown branch only grows steeper; the knee is what is to be seen.
        I_most = 1.5 * isc
        shown = [one.current_A <= I_most for one in curves]
        V_least = min(V_least, *(float(one.voltage_V[kept].min(initial=0.0)) for one, kept in zip(curves, shown, strict=True)))
        P_least = min(P_least, *(float(one.power_W[kept & (one.voltage_V < 0)].min(initial=0.0)) for one, kept in zip(curves, shown, strict=True)))
        width = voc - V_least
        V_least -= 0.03 * width
        P_least -= 0.03 * (top_W - P_least)
    V_most = voc + (0.1 if spare > 0.1 else 0.05) * (voc - min(0.0, V_least) if reverse else voc)
    return Axes(
        voltage_V=(V_least, V_most),
        current_A=(-0.07 * I_most, I_most),
        power_W=(P_least, (1.0 + spare + 0.06) * top_W),
    )


def leaves_axes(curve: Characteristic, axes: Axes) -> bool:
    """Whether a key point of the curve lies outside the axes, so that fitting them is worth offering."""
    points = [(0.0, curve.isc_A), (curve.voc_V, 0.0)]
    points += [(one.voltage_V, one.current_A) for one in curve.mpps]
    V_least, V_most = axes.voltage_V
    outside = any(not (V_least <= V <= V_most and I <= axes.current_A[1]) for V, I in points)
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


def difference(now: Characteristic, before: Characteristic, quantity: Quantity) -> Difference:
    """Now minus before at equal voltage, at every voltage where either curve has a point."""
    low = max(now.voltage_V[0], before.voltage_V[0])
    high = min(now.voltage_V[-1], before.voltage_V[-1])
    V = np.union1d(now.voltage_V, before.voltage_V)
    V = V[(V >= low) & (V <= high)]
    value = on_curve(now, V, quantity) - on_curve(before, V, quantity)
    seen = (V >= 0.0) & (V <= max(now.voc_V, before.voc_V))
    if not seen.any():
        return Difference(voltage_V=V, value=value, peak_V=0.0, peak=0.0)
    at = int(np.flatnonzero(seen)[np.argmax(np.abs(value[seen]))])
    return Difference(voltage_V=V, value=value, peak_V=float(V[at]), peak=float(value[at]))


def magnification(peak: float, span: Span, *, room: float = 0.7) -> float:
    """How many times a difference can be magnified and still fill at most `room` of the axis.

    Parameters
    ----------
    peak : float
        The greatest difference.
    span : (least, most)
        The axis of the curve itself, in the same unit.

    Returns
    -------
    float
        1, 2, 5, 10, 20, ... up to 500 000; 1 also for no difference at all.
    """
    if peak == 0.0:
        return 1.0
    most = room * (span[1] - span[0]) / abs(peak)
    fitting = [factor for factor in FACTORS if factor <= most]
    return fitting[-1] if fitting else 1.0
