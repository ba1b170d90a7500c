"""Readings: 100,000 of them are spread as the meter's data say, and cover the truth as promised.

The model of these counts: many meters of one kind, each with a serial number of its own and so with errors
drawn within the stated limits, each read once.
"""

from __future__ import annotations

from dataclasses import replace
from math import inf, nan, sqrt

import numpy as np
import pytest
from scipy.special import ndtr

from pvsim.errors import ScenarioError
from pvsim.field import KIT, Meter, MeterRange, Reading, budget_of, read_meter, read_often
from pvsim.field.kit import CLAMP_METER, INSULATION_TESTER, VOLTMETER
from tests.spread import chance_of_spread

COUNT = 100_000
SERIALS = np.arange(COUNT)
ONES = np.ones(COUNT)
# Any place in a step: the numbers by J. G. van der Corput (1935), digits of the count turned round.
BETWEEN = sum((SERIALS >> digit & 1) * 0.5 ** (digit + 1) for digit in range(17)) - 0.5
FINE = MeterRange(most=100.0, step=1e-6)


def meter(**stated: object) -> Meter:
    """With nothing to be off by but what is stated, and steps too fine to be seen."""
    return Meter(**{"key": "try", "name": "try", "quantity": "v", "unit": "V", "ranges": (FINE,), **stated})


def errors(kind: Meter, true: float, time_min: float = 0.0) -> np.ndarray:
    """What many meters of a kind show beyond the truth, once each."""
    return read_often(kind, true * ONES, serial=SERIALS, time_min=time_min).value - true


@pytest.mark.parametrize(
    ("stated", "time_min", "limit"),
    [
        pytest.param({"gain_percent": 2.0}, 0.0, 0.2, id="gain"),
        pytest.param({"zero": 0.3}, 0.0, 0.3, id="zero"),
        pytest.param({"range_percent": 0.5}, 0.0, 0.5, id="share-of-range"),
        pytest.param({"drift_per_h": 0.1}, 90.0, 0.15, id="drift"),
    ],
)
def test_a_stated_limit_is_kept_and_every_error_within_it_as_likely(
    stated: dict[str, float], time_min: float, limit: float
) -> None:
    off = errors(meter(**stated), 10.0, time_min) / limit
    assert np.abs(off).max() <= 1.0 + 1e-5
    assert abs(off.mean()) < 4.0 / sqrt(3.0 * COUNT)
    assert off.std() == pytest.approx(1.0 / sqrt(3.0), rel=0.01)  # a rectangle, GUM 4.3.7
    assert chance_of_spread((off + 1.0) / 2.0, lambda share: share) > 1e-4


def test_digits_are_steps_of_the_range_in_use() -> None:
    coarse = meter(digits=3.0, ranges=(MeterRange(most=100.0, step=0.1),))
    true = 10.0 + BETWEEN
    off = read_often(coarse, true, serial=SERIALS).value - true
    assert 0.34 < np.abs(off).max() <= 0.35 + 1e-9
    assert off.std() == pytest.approx(sqrt(0.3**2 + 0.05**2) / sqrt(3.0), rel=0.01)


def test_without_time_nothing_drifts() -> None:
    assert np.abs(errors(meter(drift_per_h=0.1), 10.0)).max() < 1e-6


def test_noise_is_normal_and_anew_in_each_reading_of_one_meter() -> None:
    noisy = meter(ranges=(replace(FINE, noise=0.02),))
    shown = read_often(noisy, 10.0 * ONES, serial=7, number=np.arange(COUNT)).value
    z = (shown - 10.0) / 0.02
    assert abs(z.mean()) < 4.0 / sqrt(COUNT)
    assert z.std() == pytest.approx(1.0, rel=0.01)
    assert chance_of_spread(z, ndtr) > 1e-4
    # Shares of a normal spread within one and two deviations, from any table of it.
    for k, share in ((1.0, 0.6827), (2.0, 0.9545)):
        assert (np.abs(z) <= k).mean() == pytest.approx(share, abs=4.0 * sqrt(share * (1 - share) / COUNT))


def test_what_is_shown_goes_in_steps_and_to_the_nearest() -> None:
    stepped = meter(ranges=(MeterRange(most=100.0, step=0.25),))
    true = np.linspace(-90.0, 90.0, COUNT)
    shown = read_often(stepped, true, serial=1).value
    np.testing.assert_allclose(np.round(shown / 0.25), shown / 0.25, atol=1e-9)
    assert np.abs(shown - true).max() <= 0.125 + 1e-9
    assert (shown - true).std() == pytest.approx(0.125 / sqrt(3.0), rel=0.01)


def test_one_meter_keeps_one_gain_and_one_zero() -> None:
    kind = meter(gain_percent=2.0, zero=0.3, ranges=(replace(FINE, noise=0.01),))
    for serial in (0, 1, 999_999):
        numbers = np.arange(2_000)
        offs = [
            (read_often(kind, true * np.ones(2_000), serial=serial, number=numbers).value - true).mean()
            for true in (0.0, 20.0, 40.0)
        ]
        assert offs[1] - offs[0] == pytest.approx(offs[2] - offs[1], abs=0.002)  # a line: one gain
        assert abs(offs[0]) <= 0.3
        assert abs(offs[2] - offs[0]) <= 0.8


def test_the_uncertainty_is_the_spread_of_many_meters() -> None:
    for kind, true, time_min in (
        (CLAMP_METER, 9.87, 120.0),
        (VOLTMETER, 312.0, 0.0),
        (INSULATION_TESTER, 1.2, 0.0),
    ):
        off = errors(kind, true, time_min)
        reading = read_meter(kind, true, serial=5, time_min=time_min)
        assert off.std() == pytest.approx(budget_of(kind, true, time_min).combined, rel=0.01)
        assert reading.standard_uncertainty == pytest.approx(off.std(), rel=0.05)  # reckoned at what it shows
        assert reading.expanded_uncertainty == 2.0 * reading.standard_uncertainty


# With k = 2: shares of sums of rectangles by the law of J. O. Irwin and P. Hall (Biometrika 19 (1927) 225,
# 240; from memory), three equal ones 1 - 2/48, two 1 - (2 - 2 sqrt(2/3))^2 / 4, one all; of a normal spread
# from any table.
@pytest.mark.parametrize(
    ("stated", "share"),
    [
        pytest.param({"ranges": (replace(FINE, noise=0.1),)}, 0.9545, id="noise-alone"),
        pytest.param(
            {"zero": 0.1, "gain_percent": 1.0, "drift_per_h": 0.1}, 1.0 - 2.0 / 48.0, id="three-alike"
        ),
        pytest.param(
            {"zero": 0.1, "gain_percent": 1.0}, 1.0 - (2.0 - 2.0 * sqrt(2.0 / 3.0)) ** 2 / 4.0, id="two-alike"
        ),
        pytest.param({"zero": 0.1}, 1.0, id="one-limit-alone"),
    ],
)
def test_twice_the_uncertainty_covers_what_theory_says(stated: dict[str, object], share: float) -> None:
    kind = meter(**stated)
    covered = np.abs(errors(kind, 10.0, 60.0)) <= 2.0 * budget_of(kind, 10.0, 60.0).combined
    assert covered.mean() == pytest.approx(share, abs=4.0 * sqrt(0.05 * 0.95 / COUNT))


@pytest.mark.parametrize(
    "noise",
    [pytest.param(0.06, id="noise-like-the-limits"), pytest.param(0.3, id="noise-above-them")],
)
def test_where_no_limit_outweighs_the_rest_it_covers_95_percent(noise: float) -> None:
    kind = meter(
        gain_percent=1.0, zero=0.1, drift_per_h=0.1, ranges=(MeterRange(most=100.0, step=0.1, noise=noise),)
    )
    true = 10.0 + BETWEEN
    shown = read_often(kind, true, serial=SERIALS, time_min=60.0).value
    known = np.array([budget_of(kind, value, 60.0).combined for value in np.unique(shown).tolist()])
    u = known[np.searchsorted(np.unique(shown), shown)]
    assert (np.abs(shown - true) <= 2.0 * u).mean() == pytest.approx(0.95, abs=0.01)


@pytest.mark.parametrize("kind", KIT, ids=lambda kind: kind.key)
def test_no_meter_of_the_kit_covers_less(kind: Meter) -> None:
    for share in (0.11, 0.5, 0.93):
        true = share * kind.ranges[0].most
        off = errors(kind, true, 30.0)
        assert (np.abs(off) <= 2.0 * budget_of(kind, true, 30.0).combined).mean() > 0.94


def test_the_same_serial_and_number_show_the_same_for_ever() -> None:
    first = [read_meter(VOLTMETER, 312.3, serial=serial, number=serial).value for serial in range(4)]
    again = [read_meter(VOLTMETER, 312.3, serial=serial, number=serial).value for serial in range(4)]
    assert first == again == FOR_EVER
    many = read_often(VOLTMETER, np.full(4, 312.3), serial=np.arange(4), number=np.arange(4))
    assert many.value.tolist() == FOR_EVER


FOR_EVER = [310.7, 312.9, 311.7, 310.9]  # as first drawn


def test_two_kinds_of_meter_with_one_serial_have_errors_of_their_own() -> None:
    kind, other = meter(gain_percent=2.0), meter(gain_percent=2.0, key="other")
    assert abs(np.corrcoef(errors(kind, 10.0), errors(other, 10.0))[0, 1]) < 4.0 / sqrt(COUNT)
    gain, zero = errors(kind, 10.0), errors(meter(zero=0.3), 10.0)
    assert abs(np.corrcoef(gain, zero)[0, 1]) < 4.0 / sqrt(COUNT)


def test_a_range_is_chosen_by_what_it_would_show() -> None:
    shown = read_often(VOLTMETER, 59.9 * ONES, serial=SERIALS)
    assert set(shown.range_number.tolist()) == {1, 2}
    low = shown.range_number == 1
    assert shown.value[low].max() <= 60.0
    np.testing.assert_allclose(np.round(shown.value[~low], 1), shown.value[~low], atol=1e-9)
    one = read_meter(VOLTMETER, 59.0, serial=3)
    assert one.range_most == 60.0
    assert read_meter(VOLTMETER, 62.0, serial=3).range_most == 600.0


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_over_range_is_said_and_nothing_beyond_is_known(sign: float) -> None:
    reading = read_meter(CLAMP_METER, sign * 1e6, serial=2)
    assert reading == Reading(
        value=sign * 400.0, unit="A", standard_uncertainty=inf, range_most=400.0, over_range=True, step=0.1
    )
    assert reading.expanded_uncertainty == inf
    assert not read_meter(CLAMP_METER, sign * 300.0, serial=2).over_range


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ({"true_value": nan}, "not finite"),
        ({"true_value": inf}, "not finite"),
        ({"serial": -1}, "serial of the reading is -1"),
        ({"serial": 1.5}, "a whole number"),
        ({"serial": 1_000_000}, "serial of the reading is 1000000"),
        ({"time_min": -1.0}, "time_min of the reading"),
        ({"time_min": nan}, "time_min of the reading"),
        ({"number": -1}, "number of the reading"),
    ],
)
def test_what_cannot_be_read_is_refused(values: dict[str, float], said: str) -> None:
    asked = {"true_value": 1.0, "serial": 1, **values}
    with pytest.raises(ScenarioError, match=said):
        read_meter(VOLTMETER, asked.pop("true_value"), **asked)


def test_what_can_be_no_reading_is_refused() -> None:
    good = Reading(value=1.0, unit="V", standard_uncertainty=0.1, range_most=6.0)
    for wrong in (
        {"unit": "mV"},
        {"standard_uncertainty": -1.0},
        {"standard_uncertainty": inf},
        {"over_range": 1},
    ):
        with pytest.raises(ScenarioError):
            replace(good, **wrong)
