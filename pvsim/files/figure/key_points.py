"""Key points of a characteristic in a figure: which are named, in what words, and where that would stand.

The page's figures and those that are written out take points and labels from here. The latter say Isc and Voc
in the words above them, and label the maxima of power alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

from pvsim.circuit.solution import Characteristic, PowerPoint
from pvsim.files.figure.model import Label, Point
from pvsim.numbers import beside, decimals_for, format_fixed
from pvsim.reading.axes import Axes
from pvsim.reading.difference import Difference, Quantity
from pvsim.reading.key_figures import NOTHING
from pvsim.words import _, voltage_symbol

__all__ = [
    "ABOVE",
    "KNEE",
    "KeyPoint",
    "Named",
    "earlier_point",
    "greatest_change",
    "held_point",
    "key_points",
    "maxima",
    "named",
    "point_parts",
]

Kind = Literal["isc", "voc", "held", "mpp", "peak", "before"]

# Sides that a label would stand on, the best first, as counted in placer.SIDES: of a maximum of power, and of
# the point on the current's curve that belongs to it.
ABOVE = (4, 6, 7, 0, 1, 5, 2, 3)
KNEE = (0, 1, 4, 2, 3, 6, 7, 5)

# In the order in which they choose: Isc and Voc have few places, so they come first.
_SIDES: dict[Kind, tuple[int, ...]] = {
    "isc": (2, 0, 6),
    "voc": (1, 3, 7, 4),
    "held": (2, 3, 0, 1, 5, 4, 6, 7),
    "mpp": KNEE,
    "peak": ABOVE,
    "before": (),
}
_RANKS = {kind: rank for rank, kind in enumerate(_SIDES)}
_ENDS = ("isc", "voc")  # where there is no power
_TWICE = ("held", "mpp", "before")  # in both figures
_APART = ("held", "before")  # no points of the present curve, with roles of their own
_BEYOND_RIGHT, _BEYOND_LEFT = (7, 3, 1, 5, 4), (6, 2, 0, 5, 4)  # of the edge, where its label stands within
_RADIUS, _LESSER_RADIUS = 4.2, 3.2
_CLOSE = (0.08, 0.16)  # of the axes: two labels there would say the same place twice


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyPoint:
    """A point of a characteristic, and what is said of it.

    Parameters
    ----------
    kind : str
        Isc, Voc, the greatest maximum of power, another one; where the part is held; where an earlier curve
        is named.
    at : PowerPoint
    current, power : str
        What is written beside it in either figure; empty where nothing is.
    symbol : (symbol, index)
        Written before that.
    """

    kind: Kind
    at: PowerPoint
    current: str = ""
    power: str = ""
    symbol: tuple[str, str] = ("", "")


class Named(NamedTuple):
    """What a panel shows of key points; the most important label first."""

    points: tuple[Point, ...]
    labels: tuple[Label, ...]


def point_parts(point: PowerPoint, scale: Characteristic) -> tuple[str, str, str]:
    """Voltage, current and power of a point, with digits that suit the part and the point."""
    return (
        _fixed(point.voltage_V, scale.voc_V, "V"),
        _fixed(point.current_A, scale.isc_A, "A"),
        _fixed(point.power_W, scale.mpp.power_W, "W"),
    )


def key_points(curve: Characteristic, *, said: bool = True) -> list[KeyPoint]:
    """Isc, Voc and all maxima of power of a curve; those of no power to speak of are none.

    Parameters
    ----------
    said : bool
        Whether anything is written beside them.
    """
    isc_A, voc_V, best = curve.isc_A, curve.voc_V, curve.mpp
    isc, voc = (_fixed(isc_A, isc_A, "A"), _fixed(voc_V, voc_V, "V")) if said else ("", "")
    at_isc = PowerPoint(voltage_V=0.0, current_A=isc_A, power_W=0.0)
    at_voc = PowerPoint(voltage_V=voc_V, current_A=0.0, power_W=0.0)
    found = [
        KeyPoint(kind="isc", at=at_isc, current=isc, symbol=("I", "sc")),
        KeyPoint(kind="voc", at=at_voc, current=voc, symbol=(voltage_symbol(), "oc")),
    ]
    if best.power_W > NOTHING:
        parts = point_parts(best, curve) if said else None
        found.append(_beside("mpp", best, parts, _("MPP") + "\u00a0"))
    for one in curve.mpps:
        if one is not best and one != best:
            power = _fixed(one.power_W, best.power_W, "W") if said else ""
            found.append(KeyPoint(kind="peak", at=one, power=power))
    return found


def held_point(at: PowerPoint, parts: tuple[str, str, str], lead: str) -> KeyPoint:
    """Where a part is held.

    Parameters
    ----------
    at : PowerPoint
    parts : (voltage, current, power)
        As point_parts gives them.
    lead : str
        What it is or whose, written before them.
    """
    return _beside("held", at, parts, lead)


def earlier_point(at: PowerPoint) -> KeyPoint:
    """Where an earlier curve is named."""
    return KeyPoint(kind="before", at=at, current=_("before"), power=_("before"))


def maxima(mpps: Sequence[PowerPoint]) -> list[KeyPoint]:
    """Maxima of power, the greatest first, for a figure whose other key points stand in words above it."""
    tops = sorted(mpps, key=lambda one: -one.power_W)
    return [
        KeyPoint(kind="peak" if rank else "mpp", at=one, power=f"{beside(one.power_W, tops[0].power_W)} W")
        for rank, one in enumerate(tops)
    ]


def named(
    points: Sequence[KeyPoint], quantity: Quantity, *, role: str = "", axes: Axes | None = None
) -> Named:
    """Key points as one of the figures shows them.

    Parameters
    ----------
    points : sequence of KeyPoint
        In any order; of a kind, the first chooses first.
    quantity : "current" or "power"
        What runs up.
    role : str
        Of the curve; by default the quantity's.
    axes : Axes or None
        How far the figures reach, where both may share one frame and points held may lie beyond.
    """
    role = role or quantity
    of_current = quantity == "current"
    held = [one for one in points if one.kind == "held"]
    drawn: list[Point] = []
    labels: list[Label] = []
    for one in sorted(points, key=_rank):
        at, kind = one.at, one.kind
        if not of_current and kind in _ENDS:
            continue
        x, y, text = at.voltage_V, at.power_W, one.power
        if of_current:
            y, text = at.current_A, one.current
        best = kind == "mpp"
        if kind not in _APART:
            radius = _RADIUS if best and role != "before" else _LESSER_RADIUS
            drawn.append(Point(x=x, y=y, role=role, radius=radius, hollow=not best))
        if not text:
            continue
        sides, alone = _SIDES[kind] if of_current or not best else ABOVE, False
        if axes is not None and kind in _TWICE:
            alone = _alone(one, held, axes, quantity)
            if kind == "held":
                x, y, sides = _within(x, y, sides, axes, quantity)
        labels.append(
            Label(
                x=x,
                y=y,
                text=text,
                role=kind if kind in _APART else role,
                symbol=one.symbol,
                prefer=sides,
                must=best or kind == "held",
                alone=alone,
            )
        )
    return Named(tuple(drawn), tuple(labels))


def greatest_change(change: Difference, quantity: Quantity, said: str) -> Named:
    """Where a difference is greatest, and what is said of it there; nothing where nothing has changed."""
    if not change.peak:
        return Named((), ())
    x, y = change.peak_V, change.peak
    return Named(
        (Point(x=x, y=y, role=quantity),), (Label(x=x, y=y, text=said, role=quantity, must=True),)
    )


def _rank(one: KeyPoint) -> int:
    return _RANKS[one.kind]


def _fixed(value: float, most: float, unit: str) -> str:
    return format_fixed(value, unit, decimals=decimals_for(max(abs(value), abs(most))))


def _beside(kind: Kind, at: PowerPoint, parts: tuple[str, str, str] | None, lead: str) -> KeyPoint:
    if parts is None:
        return KeyPoint(kind=kind, at=at)
    volts, amperes, watts = parts
    return KeyPoint(kind=kind, at=at, current=f"{lead}{volts} · {amperes}", power=f"{lead}{watts}")


def _within(
    x: float, y: float, sides: tuple[int, ...], axes: Axes, quantity: Quantity
) -> tuple[float, float, tuple[int, ...]]:
    """Where a point is named that may lie beyond the axes: then at their edge, on its inner side."""
    left, right = axes.voltage_V
    low, high = axes.current_A if quantity == "current" else axes.power_W
    if left <= x <= right and low <= y <= high:
        return x, y, sides
    return min(max(x, left), right), min(max(y, low), high), _BEYOND_LEFT if x < left else _BEYOND_RIGHT


def _alone(one: KeyPoint, held: Sequence[KeyPoint], axes: Axes, quantity: Quantity) -> bool:
    """Whether it says nothing more where both figures share one frame.

    There a power is enough of a maximum, and of each of several points held; the earlier curve is named once;
    a maximum close to a point held is told by that one; and beside its voltage no power says nothing.
    """
    if one.kind == "mpp":
        return quantity == "current" or any(_close(one.at, other.at, axes) for other in held if other.power)
    if one.kind == "held":
        if len(held) > 1:
            return quantity == "current"
        return quantity == "power" and abs(one.at.power_W) < 1e-3 * axes.power_W[1]
    return one.kind == "before" and quantity == "power"


def _close(one: PowerPoint, other: PowerPoint, axes: Axes) -> bool:
    """Whether two labels would say of the same place of the power's curve."""
    across, up = _CLOSE
    (left, right), (low, high) = axes.voltage_V, axes.power_W
    return (
        abs(one.voltage_V - other.voltage_V) < across * (right - left)
        and abs(one.power_W - other.power_W) < up * (high - low)
    )
