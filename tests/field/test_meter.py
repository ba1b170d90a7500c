"""Meters: what can be one, and the budget of a reading by hand."""

from __future__ import annotations

from dataclasses import replace
from math import inf, nan, sqrt

import numpy as np
import pytest

from pvsim.errors import ScenarioError
from pvsim.field import KIT, Meter, MeterRange, budget_of
from pvsim.field.kit import CLAMP_METER, VOLTMETER
from pvsim.field.meter import on_range, range_of
from pvsim.field.reading import read_meter


def test_a_budget_by_hand() -> None:
    # The clamp at 10 A, an hour after it was set to zero: 2 % are 0.2 A; 5 digits of 0.01 A and 0.05 A are
    # 0.1 A; it drifts 0.05 A; half a step is 0.005 A. Each over sqrt(3): JCGM 100 (GUM) 4.3.7, from memory.
    budget = budget_of(CLAMP_METER, 10.0, 60.0)
    assert budget.gain == pytest.approx(0.2 / sqrt(3))
    assert budget.zero == pytest.approx(0.1 / sqrt(3))
    assert budget.drift == pytest.approx(0.05 / sqrt(3))
    assert budget.step == pytest.approx(0.005 / sqrt(3))
    assert budget.noise == 0.01
    assert budget.random == pytest.approx(sqrt(0.005**2 / 3 + 0.01**2))
    assert budget.combined == pytest.approx(sqrt((0.2**2 + 0.1**2 + 0.05**2 + 0.005**2) / 3 + 0.01**2))


def test_a_share_of_the_range_counts_whatever_is_read() -> None:
    meter = replace(VOLTMETER, range_percent=1.0, digits=0.0, gain_percent=0.0)
    assert budget_of(meter, 10.0).zero == pytest.approx(0.6 / sqrt(3))
    assert budget_of(meter, 59.0).zero == pytest.approx(0.6 / sqrt(3))
    assert budget_of(meter, 61.0).zero == pytest.approx(6.0 / sqrt(3))


def test_the_smallest_range_that_holds_a_value_is_taken() -> None:
    values = np.array([0.0, -5.9, 6.0, 6.1, -60.0, 700.0, 9e9])
    assert range_of(VOLTMETER, values).tolist() == [0, 0, 0, 1, 1, 3, 3]


def test_keys_of_the_kit_differ_so_that_no_two_meters_share_their_errors() -> None:
    assert len({meter.key for meter in KIT}) == len(KIT)


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"unit": "mV"}, "unit of the meter is 'mV'"),
        ({"gain_percent": -1.0}, "gain_percent of the meter is -1"),
        ({"gain_percent": nan}, "a finite number"),
        ({"zero": inf}, "a finite number"),
        ({"drift_per_h": "little"}, "a finite number"),
        ({"digits": -0.5}, "digits of the meter"),
        ({"ranges": ()}, "ranges of the meter holds 0 entries"),
        ({"ranges": (6.0,)}, "meter range values only"),
        ({"ranges": (MeterRange(most=60.0, step=0.1), MeterRange(most=6.0, step=0.1))}, "not in order"),
        ({"key": ""}, "key of the meter is ''"),
    ],
)
def test_what_can_be_no_meter_is_refused(changes: dict[str, object], said: str) -> None:
    with pytest.raises(ScenarioError, match=said):
        replace(VOLTMETER, **changes)


@pytest.mark.parametrize(
    "values",
    [{"most": 0.0, "step": 0.1}, {"most": 1.0, "step": 2.0}, {"most": 1.0, "step": 0.1, "noise": -1.0}],
)
def test_what_can_be_no_range_is_refused(values: dict[str, float]) -> None:
    with pytest.raises(ScenarioError, match="of the meter range is"):
        MeterRange(**values)


def test_a_meter_of_ones_own_needs_little() -> None:
    own = Meter(
        key="mine", name="mine", quantity="voltage", unit="V", ranges=(MeterRange(most=9.0, step=0.1),)
    )
    assert budget_of(own, 3.0).combined == pytest.approx(0.05 / sqrt(3))


def test_a_meter_on_a_range_that_is_set_has_its_errors_and_that_range_alone() -> None:
    coarse = on_range(VOLTMETER, 600.0)
    # 0.5 % of 30 V, 2 digits of 0.1 V, half a step, noise: the sheet's figures, by hand.
    assert budget_of(coarse, 30.0).combined == pytest.approx(
        sqrt((0.15**2 + 0.2**2 + 0.05**2) / 3 + 0.05**2)
    )
    assert budget_of(coarse, 30.0).combined > 1.2 * budget_of(VOLTMETER, 30.0).combined
    fine, wide = (read_meter(one, 30.0, serial=7, number=3) for one in (VOLTMETER, coarse))
    assert (fine.range_most, wide.range_most) == (60.0, 600.0)
    assert wide.step == 0.1
    # One gain and, as digits, one zero: 30 g + 2 digits z is common but for the digits' size.
    assert abs(wide.value - fine.value) < 0.2 + 4 * 0.05


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_beyond_a_range_that_is_set_nothing_else_is_known(sign: float) -> None:
    shown = read_meter(on_range(VOLTMETER, 6.0), sign * 34.1, serial=7)
    assert (shown.over_range, shown.value, shown.range_most) == (True, sign * 6.0, 6.0)
    assert shown.standard_uncertainty == inf


def test_a_range_that_a_meter_does_not_have_is_refused() -> None:
    with pytest.raises(ScenarioError, match=r"range of 20 V.*6, 60, 600, 1500"):
        on_range(VOLTMETER, 20.0)
