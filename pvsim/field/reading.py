"""What a meter shows: the true value with the meter's own errors, noise, and in steps.

    shown = true (1 + g) + z + d t + noise,   to the nearest step of the range

g, z and d belong to the meter with its serial number and are drawn once, each value within its limit as
likely as any other. The noise is drawn anew for each number of a reading. All of it comes from the serial
number and the number of the reading alone, so whoever reads again sees the same.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, isfinite

import numpy as np

from pvsim.array.checks import finite, one_of, truth, whole
from pvsim.array.draw import Words, evenly, mixed, normal, word_of
from pvsim.array.scatter import MOST_SEED
from pvsim.circuit.floats import Floats
from pvsim.errors import ScenarioError
from pvsim.field.meter import COVERAGE, UNITS, Meter, budget_of, zero_limit
from pvsim.prompt import summary
from pvsim.words import _

__all__ = ["MOST_NUMBER", "Display", "LONGEST_min", "Reading", "read_meter", "read_often"]

MOST_NUMBER = 2**40  # of a reading; one of many points takes several
LONGEST_min = 10_000.0  # a week
_GAIN, _ZERO, _DRIFT, _NOISE = range(4)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One reading, and what is known of how far it may be off.

    Parameters
    ----------
    value : float
        As displayed, in `unit`; where it is over range, the end of the range, with its sign.
    unit : str
    standard_uncertainty : float
        In `unit`; infinite over range: the meter says no more than "beyond".
    range_most : float
        The range it was read in, in `unit`.
    over_range : bool
    step : float
        From one figure that can be displayed to the next, in `unit`; 0 where that is not known.
    """

    value: float
    unit: str
    standard_uncertainty: float
    range_most: float
    over_range: bool = False
    step: float = 0.0

    __repr__ = summary

    def __post_init__(self) -> None:
        finite(self, "value")
        one_of(self, "unit", UNITS)
        truth(self, "over_range")
        finite(self, "range_most", least=0.0)
        known = self.standard_uncertainty
        if not (known == inf if self.over_range else isfinite(known) and known >= 0.0):
            raise ScenarioError(
                _("the standard uncertainty of a reading is {value}").format(value=known),
                expected=_("a finite number of at least 0, and infinity over range alone"),
                mend=_("Take the reading from read_meter"),
            )

    @property
    def expanded_uncertainty(self) -> float:
        """COVERAGE times the standard uncertainty.

        Of many meters drawn from their limits, this covers the truth in 95 of 100 where noise or several
        limits of one size make it up, and in up to all where one limit outweighs the rest.
        """
        return COVERAGE * self.standard_uncertainty


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Display:
    """What meters of one kind show, many readings at once; (n,) each.

    Parameters
    ----------
    value
        As displayed; where it is over range, the end of the meter's largest range, with its sign.
    range_number
        From 0.
    over_range
        True where it is.
    """

    value: Floats
    range_number: np.ndarray
    over_range: np.ndarray

    __repr__ = summary


def read_meter(
    meter: Meter, true_value: float, *, serial: int, time_min: float = 0.0, number: int = 0
) -> Reading:
    """What a meter shows of a value.

    Parameters
    ----------
    true_value : float
        In the meter's unit.
    serial : int
        Which one of its kind, 0 to MOST_SEED: its errors are drawn from this.
    time_min : float
        Since it was set to zero, 0 to LONGEST_min.
    number : int
        Of the reading, 0 to MOST_NUMBER: its noise is drawn from this.

    Raises
    ------
    ScenarioError
        If a number is not within its bounds.
    """
    Asked(serial=serial, time_min=time_min, number=number)
    shown = read_often(meter, np.array([float(true_value)]), serial=serial, time_min=time_min, number=number)
    value, over = float(shown.value[0]), bool(shown.over_range[0])
    one = meter.ranges[int(shown.range_number[0])]
    return Reading(
        value=value,
        unit=meter.unit,
        standard_uncertainty=inf if over else budget_of(meter, value, time_min, one).combined,
        range_most=one.most,
        over_range=over,
        step=one.step,
    )


def read_often(
    meter: Meter,
    true_values: Floats,
    *,
    serial: int | np.ndarray,
    time_min: float | Floats = 0.0,
    number: int | np.ndarray = 0,
) -> Display:
    """As `read_meter`, many readings at once.

    Parameters
    ----------
    true_values : (n,)
    serial, number, time_min
        One for all, or (n,).

    Raises
    ------
    ScenarioError
        If a value is not finite.
    """
    values = np.asarray(true_values, dtype=np.float64)
    if not np.isfinite(values).all():
        raise ScenarioError(
            _("a value to be read is not finite"),
            expected=_("finite numbers in {unit}").format(unit=meter.unit),
            mend=_("Look at the circuit: the meter is given what it has there"),
        )
    kind = np.atleast_1d(word_of(meter.key))
    shared = [evenly(np.asarray(serial, dtype=np.uint64), stream, kind) for stream in (_GAIN, _ZERO, _DRIFT)]
    noise = normal(np.asarray(serial, dtype=np.uint64), _NOISE, _each(kind, number))
    gained = values * (1.0 + meter.gain_percent / 100.0 * shared[0])
    drift = meter.drift_per_h * np.asarray(time_min, dtype=np.float64) / 60.0 * shared[2]
    out = np.zeros(len(values))
    ranges = np.full(len(values), len(meter.ranges) - 1)
    open_yet = np.ones(len(values), dtype=bool)
    for k, one in enumerate(meter.ranges):
        there = gained + zero_limit(meter, one) * shared[1] + drift + one.noise * noise
        stepped = np.round(there / one.step) * one.step
        fits = open_yet & (np.abs(stepped) <= one.most * (1.0 + 1e-12))
        out[fits], ranges[fits] = stepped[fits], k
        open_yet &= ~fits
    out[open_yet] = np.copysign(meter.ranges[-1].most, gained[open_yet])
    return Display(value=_tidy(out, meter, ranges), range_number=ranges, over_range=open_yet)


def _each(kind: Words, number: int | np.ndarray) -> Words:
    return mixed(kind ^ mixed(np.atleast_1d(np.asarray(number, dtype=np.uint64))))


def _tidy(values: Floats, meter: Meter, ranges: np.ndarray) -> Floats:
    """Steps without the last bits of their product: 8.37 and not 8.370000000000001."""
    steps = np.array([one.step for one in meter.ranges])[ranges]
    decimals = np.maximum(0, np.ceil(-np.log10(steps)) + 3).astype(int)
    out = values.copy()
    for places in np.unique(decimals).tolist():
        mine = decimals == places
        out[mine] = np.round(values[mine], places)
    return out + 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What a reading is asked for with, so that a slip in it is told as everywhere."""

    serial: int
    time_min: float
    number: int

    def __post_init__(self) -> None:
        whole(self, "serial", least=0, most=MOST_SEED)
        whole(self, "number", least=0, most=MOST_NUMBER)
        finite(self, "time_min", least=0.0, most=LONGEST_min)
