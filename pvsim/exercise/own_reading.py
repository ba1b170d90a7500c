"""An answer that is computed from a student's own readings, and how far those let it be off.

Readings by one meter share its errors: its gain, its zero and, taken right after one another, what that has
drifted. In a difference they go out, in a ratio the gain does; in a sum they add up. What is anew in each
reading, its noise and its step, is independent.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import copysign, hypot, isfinite, nan, sqrt

from pvsim.course.number.evaluation import value_of
from pvsim.course.number.expression import parse_expression
from pvsim.course.number.units import unit_meant
from pvsim.exercise.draw import MARKED, written
from pvsim.exercise.item import ItemReading, NumberItem
from pvsim.exercise.making import METERS
from pvsim.field.meter import COVERAGE, Budget, budget_of

__all__ = ["FAR", "OwnValue", "own_value", "standard_uncertainty", "value_by"]

SINCE_ZERO_min = 60.0  # that a meter was last set to zero, at most; a judgement
FAR = 3.0  # standard uncertainties: what lies further from what is there is no reading of it; a judgement


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnValue:
    """What follows from a student's readings.

    Parameters
    ----------
    readings : mapping of str to float
        By name, each in the unit of its reading.
    value : float
        In the item's unit; not a number where the readings give none.
    uncertainty : float
        Expanded, COVERAGE times the combined standard uncertainty, in the item's unit.
    strange : tuple of str
        Names of readings that no meter would show there.
    """

    readings: Mapping[str, float]
    value: float
    uncertainty: float
    strange: tuple[str, ...] = ()


def own_value(item: NumberItem, readings: Mapping[str, float]) -> OwnValue:
    """The answer that a student's readings lead to.

    Parameters
    ----------
    item : NumberItem
        With readings and a formula.
    readings : mapping of str to float
        By name, each in the unit of its reading; all that the item asks for.

    Notes
    -----
    u(f)^2 = sum over causes of (sum over readings of df/dx u_cause(x))^2: what one meter has in common in its
    readings is fully correlated, all else not at all (JCGM 100, GUM, 5.1.2 and F.1.2.3, from memory).
    Derivatives by central differences over one standard uncertainty.
    """
    by_name = {one.name: one for one in item.readings}
    value = value_by(item.formula, item, readings)
    causes: dict[tuple[str, str], float] = {}
    for name, one in by_name.items():
        u = standard_uncertainty(one, readings[name])
        if u == 0.0:
            continue
        ends = [value_by(item.formula, item, {**readings, name: readings[name] + s * u}) for s in (-1.0, 1.0)]
        slope = (ends[1] - ends[0]) / (2.0 * u)
        for cause, size in _causes(one, readings[name]).items():
            causes[cause] = causes.get(cause, 0.0) + slope * size
    parts = hypot(*causes.values())
    strange = tuple(
        name
        for name, one in by_name.items()
        if abs(readings[name] - one.value) > FAR * standard_uncertainty(one, one.value)
    )
    uncertainty = COVERAGE * parts if isfinite(parts) else nan
    return OwnValue(readings=dict(readings), value=value, uncertainty=uncertainty, strange=strange)


def value_by(formula: str, item: NumberItem, readings: Mapping[str, float]) -> float:
    """What a formula over readings comes to, in the item's unit."""
    units = {one.name: one.unit for one in item.readings}
    text = MARKED.sub(lambda match: written(readings[match[1]] * units[match[1]].size), formula)
    return value_of(parse_expression(text), None) / item.unit.size


def standard_uncertainty(reading: ItemReading, value: float) -> float:
    """How far a reading may be off, as a standard uncertainty in its unit: of its meter, or its limit."""
    if not reading.meter:
        return reading.limit / sqrt(3.0)
    budget, size = _budget(reading, value)
    return budget.combined * size


def _causes(reading: ItemReading, value: float) -> dict[tuple[str, str], float]:
    """Standard uncertainties in the reading's unit, by whose error each is; one meter's go by its key."""
    if not reading.meter:
        return {(reading.name, "limit"): standard_uncertainty(reading, value)}
    budget, size = _budget(reading, value)
    return {
        (reading.meter, "gain"): copysign(budget.gain, value) * size,
        (reading.meter, "zero"): budget.zero * size,
        (reading.meter, "drift"): budget.drift * size,
        (reading.name, "random"): budget.random * size,
    }


def _budget(reading: ItemReading, value: float) -> tuple[Budget, float]:
    """Of the meter, in its unit; and what that unit is in the reading's."""
    meter = METERS[reading.meter]
    unit = unit_meant(meter.unit)
    assert unit is not None  # looked at when the exercise was read
    there = value * reading.unit.size / unit.size
    return budget_of(meter, there, SINCE_ZERO_min), unit.size / reading.unit.size
