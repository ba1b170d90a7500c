"""Answers from own readings: what readings of one meter have in common, against drawn meters."""

from __future__ import annotations

from math import sqrt

import numpy as np
import pytest

from pvsim.course.number.units import UNITS
from pvsim.exercise import ItemReading, mark_answer
from pvsim.exercise.making import METERS
from pvsim.exercise.own_reading import SINCE_ZERO_min, own_value
from pvsim.field import read_often
from tests.exercise.samples import power_item

METERS_DRAWN = 100_000


def reading(name: str, unit: str, value: float, meter: str) -> ItemReading:
    return ItemReading(name=name, ask=name, unit=UNITS[unit], value=value, meter=meter)


def item(formula: str, unit: str, *readings: ItemReading):
    return power_item(
        readings=readings, formula=formula, unit=UNITS[unit], misconceptions=(), value=1.0, tolerance=1e-6
    )


I1, I2 = reading("I1", "A", 8.3, "clamp-meter"), reading("I2", "A", 7.9, "clamp-meter")
U1, U2 = reading("U1", "V", 328.8, "voltmeter"), reading("U2", "V", 315.1, "voltmeter")
LOW = reading("U1", "V", 4.2, "voltmeter")  # on another range than U2
BACK = reading("I2", "A", -0.9, "clamp-meter")


@pytest.mark.parametrize(
    ("formula", "unit", "readings", "compute"),
    [
        pytest.param("$I1 - $I2", "A", (I1, I2), lambda a, b: a - b, id="difference"),
        pytest.param("$I1 + $I2", "A", (I1, I2), lambda a, b: a + b, id="sum"),
        pytest.param("$I1 / $I2", "%", (I1, I2), lambda a, b: 100 * a / b, id="ratio"),
        pytest.param("$U1 - $U2", "V", (U1, U2), lambda a, b: a - b, id="difference-of-voltages"),
        pytest.param("$U1 / $U2", "%", (U1, U2), lambda a, b: 100 * a / b, id="ratio-of-voltages"),
        pytest.param("$U2 - 3 * $U1", "V", (LOW, U2), lambda a, b: b - 3 * a, id="two-ranges"),
        pytest.param("$I1 - $I2", "A", (I1, BACK), lambda a, b: a - b, id="one-of-them-negative"),
        pytest.param("$U1 * $I1", "W", (U1, I1), lambda a, b: a * b, id="product-of-two-meters"),
        pytest.param(
            "$U1 * $I1 - $U2 * $I2",
            "W",
            (U1, I1, U2, I2),
            lambda u, i, v, j: u * i - v * j,
            id="difference-of-powers",
        ),
    ],
)
def test_the_uncertainty_is_the_spread_of_a_hundred_thousand_sets_of_meters(
    formula: str, unit: str, readings: tuple[ItemReading, ...], compute
) -> None:
    """Each set of meters has one gain, zero and drift, and a noise for each of its readings."""
    serials = np.arange(METERS_DRAWN)
    shown = [
        read_often(
            METERS[one.meter],
            np.full(METERS_DRAWN, one.value),
            serial=serials,
            time_min=SINCE_ZERO_min,
            number=number,
        ).value
        for number, one in enumerate(readings)
    ]
    spread = float((compute(*shown) - compute(*(one.value for one in readings))).std())
    found = own_value(item(formula, unit, *readings), {one.name: one.value for one in readings})
    # A hundred thousand draws are good to 0.3 %; the rest is what first order leaves out, and steps.
    assert found.uncertainty / 2.0 == pytest.approx(spread, rel=0.03)


def test_a_difference_by_one_meter_is_better_known_than_by_two() -> None:
    by_one = own_value(item("$I1 - $I2", "A", I1, I2), {"I1": 8.3, "I2": 7.9}).uncertainty
    apart = reading("I2", "A", 7.9, "tracer-current")
    by_two = own_value(item("$I1 - $I2", "A", I1, apart), {"I1": 8.3, "I2": 7.9}).uncertainty
    # By hand: 2 % of 0.4 A, and twice half a step of 0.01 A and noise of 0.01 A.
    assert by_one == pytest.approx(2 * sqrt((0.008**2 + 2 * 0.005**2) / 3 + 2 * 0.01**2), rel=1e-6)
    assert by_two > 5 * by_one


def test_what_two_readings_of_one_meter_cannot_explain_is_wrong() -> None:
    """Held as independent, the same slip of half an ampere would have passed."""
    asked = item("$I1 - $I2", "A", I1, I2)
    given = {"I1": "8.3", "I2": "7.9"}
    assert mark_answer(asked, "0.42", readings=given).verdict == "right"
    assert mark_answer(asked, "0.55", readings=given).verdict == "wrong"


def test_readings_with_a_limit_of_their_own_are_independent() -> None:
    both = [
        ItemReading(name=name, ask=name, unit=UNITS["V"], value=value, limit=limit)
        for name, value, limit in (("A", 30.0, 0.3), ("B", 20.0, 0.4))
    ]
    found = own_value(item("$A - $B", "V", *both), {"A": 30.0, "B": 20.0})
    assert found.uncertainty == pytest.approx(2.0 * 0.5 / sqrt(3.0))
