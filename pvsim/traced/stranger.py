"""Whether a curve can be of the part at all that it is held against, or is of another module or part."""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.circuit.solution import Characteristic
from pvsim.numbers import short_number
from pvsim.traced.key_points import key_points
from pvsim.traced.residual import modelled_points
from pvsim.traced.shape import deepest_dent
from pvsim.traced.traced_curve import TracedCurve
from pvsim.words import _, mark

# No fault raises voltage or current. What light and warmth not known well may do is less: 5 % of Voc are
# 17 K, 10 % of Isc a light sensor twice off its limit (typical, from memory).
MOST_VOLTAGE, MOST_CURRENT = 1.05, 1.10
# A curve that no family explains is of another part if it is sound in itself: of as much fill factor, no
# step, and its voltage or current is further away than light and warmth take it.
LEAST_VOLTAGE, LEAST_CURRENT = 0.95, 0.90
FILL, DENT = 0.05, 0.04

# In English, marked to be translated when shown.
TOO_MUCH_VOLTAGE = mark(
    "The curve does not belong to this part: its open-circuit voltage is {voltage} times that of the part, "
    "and no fault raises it. Choose the part, its modules, or the temperature again."
)
TOO_MUCH_CURRENT = mark(
    "The curve does not belong to this part: its short-circuit current is {current} times that of the part, "
    "and no fault raises it. Choose the part, its modules, or the light again."
)
SOUND_BUT_OTHER = mark(
    "The curve does not belong to this part: its open-circuit voltage is {voltage} times that of the part, "
    "its short-circuit current {current} times, and its shape is sound. Choose the part or its modules again."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stranger:
    """A curve that is not of the part.

    Parameters
    ----------
    voltage, current : float
        Its Voc and Isc, over those of the part in order.
    told : str
        One of the sentences above; `say_stranger` fills in the two.
    """

    voltage: float
    current: float
    told: str


def say_stranger(stranger: Stranger) -> str:
    """The sentence, in the language at work."""
    return _(stranger.told).format(
        voltage=short_number(round(stranger.voltage, 2)), current=short_number(round(stranger.current, 2))
    )


def stranger_to(curve: TracedCurve, healthy: Characteristic, *, unexplained: bool) -> Stranger | None:
    """Tell a curve that is not of the part; None where it may be.

    Parameters
    ----------
    healthy : Characteristic
        The part in order, in the light and warmth of the curve.
    unexplained : bool
        Whether no family of fault explains it.
    """
    if not (healthy.voc_V > 0.0 and healthy.isc_A > 0.0):
        return None
    found, expected = key_points(curve), modelled_points(healthy)
    voltage, current = found.voc_V / expected.voc_V, found.isc_A / expected.isc_A
    told = ""
    if voltage > MOST_VOLTAGE:
        told = TOO_MUCH_VOLTAGE
    elif current > MOST_CURRENT:
        told = TOO_MUCH_CURRENT
    elif unexplained and (voltage < LEAST_VOLTAGE or current < LEAST_CURRENT):
        alike = abs(found.fill_factor / expected.fill_factor - 1.0) <= FILL
        told = SOUND_BUT_OTHER if alike and deepest_dent(curve, found) <= DENT else ""
    return Stranger(voltage=voltage, current=current, told=told) if told else None
