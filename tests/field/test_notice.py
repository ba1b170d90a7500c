"""Would you notice: thresholds by hand, and how often the verdict is right, by many meters."""

from __future__ import annotations

from dataclasses import replace
from math import hypot, sqrt

import numpy as np
import pytest

from pvsim.array import Fault, Place, add_fault, paint, set_array, set_light, set_operation, solve_array
from pvsim.errors import ScenarioError
from pvsim.field import (
    NOTICED,
    PROBES,
    USUAL_DOUBT,
    Doubt,
    Probe,
    against_neighbour,
    against_prediction,
    budget_of,
    meter_of,
    noticed,
    prediction_uncertainty,
    read_often,
    true_value,
)
from pvsim.field.doubt import apart
from pvsim.field.kit import CLAMP_METER, INSULATION_TESTER, VOLTMETER
from pvsim.files import read_demo

COUNT = 100_000
ROOF = set_operation(set_array(read_demo("workshop"), main_cable_resistance_ohm=0.0), "voltage", 265.0)
SOUND = solve_array(ROOF)
CLAMP = {string: Probe(what="current", place=Place(string)) for string in (1, 2)}
SURE = Doubt(module_percent=0.0, neighbour_percent=0.0, warmth_K=0.0, insulation_percent=0.0)


def shaded(transmission: float) -> object:
    return solve_array(paint(ROOF, [Place(2)], transmission))


@pytest.mark.parametrize(
    ("effect", "verdict"),
    [
        (0.0, "unchanged"),
        (0.05, "unchanged"),
        (0.051, "cannot-be-told"),
        (-0.4, "cannot-be-told"),
        (0.41, "changed-unless-meter-errs"),
        (-1.0, "changed-unless-meter-errs"),
        (1.01, "changed"),
        (-50.0, "changed"),
    ],
)
def test_the_four_steps_by_hand(effect: float, verdict: str) -> None:
    assert noticed(effect, uncertainty=0.5, random_uncertainty=0.2, step=0.1) == verdict
    assert verdict in NOTICED


def test_the_uncertainty_against_a_prediction_by_hand() -> None:
    notice = against_prediction(SOUND, shaded(0.9), CLAMP[2], time_min=60.0)
    right, now = SOUND.strings.current_A[1], notice.as_is
    assert notice.should_be == right
    assert notice.effect == pytest.approx(-0.1 * right, rel=0.02)
    light = (
        hypot((0.05 * 1000 + 0) / sqrt(3), 2 / sqrt(3), 0.5 / sqrt(3), 1.0) / 1000.0
    )  # 5 %, 2 W/m2, step, noise
    warm = 0.0006 * hypot(2.0 / sqrt(3), 0.05 / sqrt(3), 0.1)
    reckoned = right * hypot(light, warm, 0.03 / sqrt(3))
    assert prediction_uncertainty(SOUND, CLAMP[2]) == pytest.approx(reckoned)
    assert notice.uncertainty == pytest.approx(hypot(reckoned, budget_of(CLAMP_METER, now, 60.0).combined))
    assert notice.random_uncertainty == pytest.approx(budget_of(CLAMP_METER, now).random)


def test_beside_a_neighbour_the_gain_cancels() -> None:
    wild = replace(CLAMP_METER, gain_percent=20.0)
    now = shaded(0.97)
    tame_u, wild_u = (
        against_neighbour(SOUND, now, CLAMP[2], CLAMP[1], doubt=SURE, meter=meter).uncertainty
        for meter in (CLAMP_METER, wild)
    )
    assert wild_u < 5.0 * tame_u
    alone = [
        against_prediction(SOUND, now, CLAMP[2], doubt=SURE, meter=meter).uncertainty
        for meter in (CLAMP_METER, wild)
    ]
    assert alone[1] > 3.0 * alone[0]
    # Twenty per cent of the difference is left of it, and of the reading if it stands alone.
    apart = abs(now.strings.current_A[1] - now.strings.current_A[0])
    assert wild_u == pytest.approx(
        hypot(0.2 * apart / sqrt(3), sqrt(2.0) * budget_of(wild, 10.0).random), rel=0.01
    )


def test_what_many_meters_read_here_less_there_is_as_uncertain_as_is_said() -> None:
    now = shaded(0.97)
    here, there = now.strings.current_A[1], now.strings.current_A[0]
    serial, ones = np.arange(COUNT), np.ones(COUNT)
    first = read_often(CLAMP_METER, here * ones, serial=serial, number=1).value
    second = read_often(CLAMP_METER, there * ones, serial=serial, number=2).value
    notice = against_neighbour(SOUND, now, CLAMP[2], CLAMP[1], doubt=SURE)
    off = first - second - (here - there)
    assert off.std() == pytest.approx(notice.uncertainty, rel=0.05)
    assert (first - here).std() > 5.0 * off.std()  # alone, gain and zero are in it
    assert (np.abs(off) <= 2.0 * notice.uncertainty).mean() == pytest.approx(0.95, abs=0.01)


def test_the_same_shade_is_noticed_beside_a_neighbour_and_not_by_reckoning() -> None:
    now = shaded(0.96)
    by_reckoning = against_prediction(SOUND, now, CLAMP[2])
    beside = against_neighbour(SOUND, now, CLAMP[2], CLAMP[1])
    assert by_reckoning.effect == pytest.approx(beside.effect, rel=1e-6)
    assert (by_reckoning.verdict, beside.verdict) == ("changed-unless-meter-errs", "changed")


def test_deeper_shade_climbs_through_all_four_verdicts() -> None:
    seen = [
        against_neighbour(SOUND, shaded(share), CLAMP[2], CLAMP[1]).verdict
        for share in (1.0, 0.9998, 0.998, 0.99, 0.95, 0.5)
    ]
    order = list(reversed(list(NOTICED)))
    assert [order.index(one) for one in seen] == sorted(order.index(one) for one in seen)
    assert set(seen) == set(NOTICED)


def test_a_sound_array_is_called_changed_one_time_in_twenty() -> None:
    """Reckoned values and neighbours normal about the truth, meters drawn within their limits."""
    rng = np.random.default_rng(1)
    right = SOUND.strings.current_A[1]
    notice = against_prediction(SOUND, SOUND, CLAMP[2])
    read = read_often(CLAMP_METER, np.full(COUNT, right), serial=np.arange(COUNT)).value
    reckoned = right + prediction_uncertainty(SOUND, CLAMP[2]) * rng.standard_normal(COUNT)
    false = np.abs(read - reckoned) > 2.0 * notice.uncertainty
    assert false.mean() == pytest.approx(0.05, abs=0.01)
    beside = against_neighbour(SOUND, SOUND, CLAMP[2], CLAMP[1])
    there = right * (1.0 + 0.01 * rng.standard_normal(COUNT))
    other = read_often(CLAMP_METER, there, serial=np.arange(COUNT), number=1).value
    assert (np.abs(read - other) > 2.0 * beside.uncertainty).mean() == pytest.approx(0.05, abs=0.01)
    # And noticed() itself says so of the very same readings.
    said = [
        noticed(one, uncertainty=notice.uncertainty, random_uncertainty=notice.random_uncertainty, step=0.01)
        for one in (read - reckoned)[:2000].tolist()
    ]
    assert [one == "changed" for one in said] == false[:2000].tolist()


@pytest.mark.parametrize("what", PROBES)
def test_the_interval_of_every_instrument_holds_the_true_effect_in_95_of_100(what: str) -> None:
    """With a fault there, in both comparisons: what is read, less what it is compared with, by many meters.

    Of a normal spread 0.9545 lie within k = 2; a step far coarser than the rest makes it a little more.
    """
    now = shaded(0.9)
    here, there = (Probe(what=what, place=Place(string)) for string in (2, 1))
    meter, serial = meter_of(here), np.arange(COUNT)
    rng = np.random.default_rng(4)
    true_here, true_there = true_value(now, here), true_value(now, there)

    def read(value: float | np.ndarray, number: int) -> np.ndarray:
        return read_often(meter, value * np.ones(COUNT), serial=serial, number=number).value

    alone = against_prediction(SOUND, now, here)
    spread = prediction_uncertainty(SOUND, here) * rng.standard_normal(COUNT)
    by_reckoning = read(true_here, 1) - (true_value(SOUND, here) + spread) - alone.effect
    beside = against_neighbour(SOUND, now, here, there)
    unlike = apart(here, max(abs(true_here), abs(true_there)), USUAL_DOUBT) * rng.standard_normal(COUNT)
    by_neighbour = read(true_here + unlike, 1) - read(true_there, 2) - (true_here - true_there)
    for off, notice in ((by_reckoning, alone), (by_neighbour, beside)):
        covered = float((np.abs(off) <= notice.expanded_uncertainty).mean())
        assert covered == pytest.approx(0.955, abs=0.01)
        assert off.std() == pytest.approx(notice.uncertainty, rel=0.005)


def test_three_times_the_uncertainty_is_noticed_five_times_in_six() -> None:
    """Of a normal spread about three, 0.841 lies beyond two; from any table of it."""
    right = SOUND.strings.current_A[1]
    u = against_prediction(SOUND, SOUND, CLAMP[2]).uncertainty
    rng = np.random.default_rng(2)
    read = read_often(CLAMP_METER, np.full(COUNT, right - 3.0 * u), serial=np.arange(COUNT)).value
    reckoned = right + prediction_uncertainty(SOUND, CLAMP[2]) * rng.standard_normal(COUNT)
    assert (np.abs(read - reckoned) > 2.0 * u).mean() == pytest.approx(0.841, abs=0.02)


@pytest.mark.parametrize("what", PROBES)
def test_nothing_changed_is_called_unchanged_by_every_instrument(what: str) -> None:
    first, second = (Probe(what=what, place=Place(string)) for string in (2, 1))
    assert against_prediction(SOUND, SOUND, first).verdict == "unchanged"
    assert against_neighbour(SOUND, SOUND, first, second).verdict == "unchanged"


def test_each_fault_has_the_instrument_that_sees_it() -> None:
    open_cell = solve_array(add_fault(ROOF, Fault("cell-open", Place(2, 3, cell=5))))
    earth = solve_array(add_fault(ROOF, Fault("earth-fault", Place(2, 3), 1e5)))

    def verdict(now: object, what: str) -> str:
        return against_neighbour(
            SOUND, now, Probe(what=what, place=Place(2)), Probe(what=what, place=Place(1))
        ).verdict

    assert [verdict(open_cell, what) for what in ("open-voltage", "current", "insulation")] == [
        "changed",
        "changed",
        "unchanged",
    ]
    assert [verdict(earth, what) for what in ("open-voltage", "current", "insulation")] == [
        "unchanged",
        "unchanged",
        "changed",
    ]


def test_over_range_tells_nothing() -> None:
    low = replace(VOLTMETER, ranges=VOLTMETER.ranges[:2])
    dim = solve_array(set_light(ROOF, irradiance_W_m2=100.0))
    probe = Probe(what="open-voltage", place=Place(2))
    assert against_prediction(SOUND, dim, probe, meter=low).verdict == "cannot-be-told"
    assert against_prediction(SOUND, dim, probe).verdict == "changed"
    assert INSULATION_TESTER.unit == "Mohm"


def test_what_is_no_neighbour_is_refused() -> None:
    for one, other in (
        (CLAMP[2], CLAMP[2]),
        (CLAMP[2], Probe(what="voltage", place=Place(1))),
        (CLAMP[2], Probe(what="current", place=Place(1, 2))),
    ):
        with pytest.raises(ScenarioError, match="a neighbour"):
            against_neighbour(SOUND, SOUND, one, other)
    with pytest.raises(ScenarioError, match="of the doubt is"):
        Doubt(module_percent=-1.0)
    with pytest.raises(ScenarioError, match="does not exist"):
        against_prediction(SOUND, SOUND, Probe(what="current", place=Place(3)))
