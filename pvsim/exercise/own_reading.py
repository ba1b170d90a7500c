"""An answer that is computed from a student's own readings, and how far those let it be off."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import hypot, isfinite, nan, sqrt

from pvsim.course.number.evaluation import value_of
from pvsim.course.number.expression import parse_expression
from pvsim.course.number.units import unit_meant
from pvsim.exercise.draw import MARKED, written
from pvsim.exercise.item import ItemReading, NumberItem
from pvsim.exercise.making import METERS
from pvsim.field.meter import COVERAGE, budget_of

__all__ = ["FAR", "OwnValue", "own_value", "standard_uncertainty", "value_by"]

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
    u(f)^2 = sum of (df/dx u(x))^2, the readings taken as independent (JCGM 100, GUM, 5.1.2, from memory);
    derivatives by central differences over one standard uncertainty.
    """
    by_name = {one.name: one for one in item.readings}
    value = value_by(item.formula, item, readings)
    parts = 0.0
    for name, one in by_name.items():
        u = standard_uncertainty(one, readings[name])
        ends = [value_by(item.formula, item, {**readings, name: readings[name] + s * u}) for s in (-1.0, 1.0)]
        parts = hypot(parts, (ends[1] - ends[0]) / 2.0)
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
    meter = METERS[reading.meter]
    unit = unit_meant(meter.unit)
    assert unit is not None  # looked at when the exercise was read
    there = value * reading.unit.size / unit.size
    return budget_of(meter, there).combined * unit.size / reading.unit.size
