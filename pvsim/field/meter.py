"""A meter: what it measures, and what is stated of how far it may be off.

One meter has one gain error and one zero error of its own, for as long as it lives, and drifts at one rate;
what it shows scatters a little from reading to reading and goes in steps. See pvsim/field/reading.py.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from math import hypot, sqrt

import numpy as np

from pvsim.array.checks import finite, one_of, refuse, text, tuple_of
from pvsim.array.limits import MAX_NAME
from pvsim.circuit.floats import Floats
from pvsim.errors import ScenarioError
from pvsim.words import _

__all__ = ["COVERAGE", "Budget", "Meter", "MeterRange", "budget_of", "on_range", "range_of", "zero_limit"]

COVERAGE = 2.0  # k: 95 % of a normal spread, JCGM 100 (GUM) annex G (from memory)
MAX_RANGES = 12
UNITS = ("V", "A", "W", "W/m2", "°C", "Mohm")


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterRange:
    """One range of a meter, in the meter's unit.

    Parameters
    ----------
    most : float
        The largest size it shows, of either sign.
    step : float
        From one value shown to the next: the resolution.
    noise : float
        Standard deviation from reading to reading, before the value goes to a step.
    """

    most: float
    step: float
    noise: float = 0.0

    def __post_init__(self) -> None:
        finite(self, "most", least=1e-9, most=1e9)
        finite(self, "step", least=1e-12, most=self.most)
        finite(self, "noise", least=0.0, most=self.most)


@dataclass(frozen=True, slots=True, kw_only=True)
class Meter:
    """What is stated of a meter: limits that any one of its kind keeps within, each plus or minus.

    Parameters
    ----------
    key : str
        Under which its errors are drawn; it stays, whatever people call it.
    name, quantity : str
        For people, marked for translation.
    unit : str
        One of UNITS.
    ranges : tuple of MeterRange
        Rising; the meter chooses the smallest that holds the value. See `on_range`.
    gain_percent : float
        Of the reading.
    digits : float
        Steps of the range in use.
    range_percent : float
        Of the range in use.
    zero : float
        What it may show of nothing besides, in its unit: of a clamp, what its iron keeps of the last current.
    drift_per_h : float
        How far its zero may move in an hour, in its unit.

    Raises
    ------
    ScenarioError
        If a value cannot be.
    """

    key: str
    name: str
    quantity: str
    unit: str
    ranges: tuple[MeterRange, ...]
    gain_percent: float = 0.0
    digits: float = 0.0
    range_percent: float = 0.0
    zero: float = 0.0
    drift_per_h: float = 0.0

    def __post_init__(self) -> None:
        for field in ("key", "name", "quantity"):
            text(self, field, most=MAX_NAME)
        if not self.key:
            refuse(self, "key", self.key, _("a text"))
        one_of(self, "unit", UNITS)
        tuple_of(self, "ranges", MeterRange, least=1, most=MAX_RANGES)
        sizes = [one.most for one in self.ranges]
        if any(low >= high for low, high in pairwise(sizes)):
            raise ScenarioError(
                _("the ranges of the meter '{key}' are not in order").format(key=self.key),
                expected=_("each range larger than the one before"),
                mend=_("Write the smallest range first"),
            )
        finite(self, "gain_percent", least=0.0, most=100.0)
        finite(self, "digits", least=0.0, most=10_000.0)
        finite(self, "range_percent", least=0.0, most=100.0)
        finite(self, "zero", least=0.0, most=1e9)
        finite(self, "drift_per_h", least=0.0, most=1e9)


@dataclass(frozen=True, slots=True, kw_only=True)
class Budget:
    """Standard uncertainties of one reading, in the meter's unit, by where they come from.

    Parameters
    ----------
    gain, zero, drift : float
        Of the meter itself: the same in every reading of one meter, at one time.
    step, noise : float
        Anew in every reading.
    """

    gain: float
    zero: float
    drift: float
    step: float
    noise: float

    @property
    def random(self) -> float:
        """What differs from reading to reading of one meter."""
        return hypot(self.step, self.noise)

    @property
    def combined(self) -> float:
        """All together."""
        return hypot(self.gain, self.zero, self.drift, self.step, self.noise)


def budget_of(meter: Meter, value: float, time_min: float = 0.0, within: MeterRange | None = None) -> Budget:
    """What is known of how far a reading may be off.

    Parameters
    ----------
    value : float
        What the meter shows, or is to show, in its unit.
    time_min : float
        Since it was last set to zero.
    within : MeterRange or None
        The range in use; the smallest that holds the value, if left out.

    Notes
    -----
    A limit within which every value is as likely as any other has the standard uncertainty limit / sqrt(3), a
    step half of which is such a limit too (JCGM 100, the GUM, 4.3.7; from memory). The stated digits, share
    of range and zero add up to one limit, as a data sheet's plus and minus do.
    """
    one = within or meter.ranges[int(range_of(meter, np.array([value]))[0])]
    return Budget(
        gain=meter.gain_percent / 100.0 * abs(value) / sqrt(3.0),
        zero=zero_limit(meter, one) / sqrt(3.0),
        drift=meter.drift_per_h * time_min / 60.0 / sqrt(3.0),
        step=0.5 * one.step / sqrt(3.0),
        noise=one.noise,
    )


def zero_limit(meter: Meter, one: MeterRange) -> float:
    """How far from nothing the meter may show nothing, in one of its ranges."""
    return meter.digits * one.step + meter.range_percent / 100.0 * one.most + meter.zero


def range_of(meter: Meter, values: Floats) -> np.ndarray:
    """Number, from 0, of the smallest range that holds each value; the largest for those beyond all; (n,)."""
    most = np.array([one.most for one in meter.ranges])
    found: np.ndarray = np.minimum(np.searchsorted(most, np.abs(values), side="left"), len(most) - 1)
    return found


def on_range(meter: Meter, most: float) -> Meter:
    """The same meter, its errors the same, on a range that somebody has set.

    Parameters
    ----------
    most : float
        Of one of its ranges.

    Raises
    ------
    ScenarioError
        If it has no such range.
    """
    found = tuple(one for one in meter.ranges if one.most == most)
    if not found:
        raise ScenarioError(
            _("the meter '{key}' is to be set to a range of {most} {unit}").format(
                key=meter.key, most=f"{most:g}", unit=meter.unit
            ),
            expected=_("one of its ranges: {names}").format(
                names=", ".join(f"{one.most:g}" for one in meter.ranges)
            ),
            mend=_("Choose one of them, or leave it on automatic range"),
        )
    return replace(meter, ranges=found)
