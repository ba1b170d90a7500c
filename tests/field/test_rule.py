"""A trained eye's rule: by hand, by many meters drawn from their limits, and by arrays drawn from a seed."""

from __future__ import annotations

from dataclasses import replace
from math import hypot, sqrt

import numpy as np
import pytest

from pvsim.array import Fault, Place, add_fault, paint, set_scatter, set_string_length, solve_array
from pvsim.array.scatter import USUAL_SCATTER
from pvsim.errors import ScenarioError
from pvsim.field import (
    RULES,
    USUAL_DOUBT,
    Doubt,
    Probe,
    budget_of,
    called_faulty,
    prediction_uncertainty,
    read_often,
    rule_against_neighbour,
    rule_against_prediction,
    true_value,
)
from pvsim.field.doubt import FOLLOWS
from pvsim.field.kit import BACK_SENSOR, CLAMP_METER, IRRADIANCE_SENSOR, VOLTMETER
from pvsim.files import read_demo

COUNT = 60_000
ROOF = read_demo("workshop")
SOUND = solve_array(ROOF)
SHADED = solve_array(paint(ROOF, [Place(2)], 0.94))
HERE, THERE = (Probe(what="current", place=Place(string)) for string in (2, 1))
SERIAL = np.arange(COUNT)
NEAR = 0.012  # of a share: what is left of the meter's own rectangular limits, and 60,000 draws
# Farthest apart of a rectangular and a normal distribution of one spread: Phi(z) - (1/2 + z / (2 sqrt 3)),
# where one limit, within which all is as likely, makes up the whole of what is reckoned.
RECTANGULAR = 0.057


def share(called: object) -> float:
    return float(np.mean(np.asarray(called)))


def reckoned(probe: Probe, seed: int) -> np.ndarray:
    """What many people would reckon, each with sensors and modules of their own."""
    rng = np.random.default_rng(seed)
    by_light, per_K = FOLLOWS[probe.what]
    ones = np.ones(COUNT)
    light = read_often(IRRADIANCE_SENSOR, 1000.0 * ones, serial=SERIAL + 1, number=7).value / 1000.0
    warm = read_often(BACK_SENSOR, 25.0 * ones, serial=SERIAL + 1, number=8).value - 25.0
    modules = rng.uniform(-0.01, 0.01, COUNT) * USUAL_DOUBT.module_percent
    return true_value(SOUND, probe) * (
        1.0 + by_light * (light - 1.0) + per_K * warm + modules
    )


def test_the_chances_by_hand_of_a_reading_that_only_its_noise_puts_off() -> None:
    """Five per cent lower than 10.0 is 9.5; sd of r - 0.95 s is 0.1 hypot(1, 0.95) where both have 0.1."""
    sure = Doubt(module_percent=0.0, neighbour_percent=0.0)
    plain = replace(
        CLAMP_METER, gain_percent=0.0, digits=0.0, zero=0.0,
        ranges=(replace(CLAMP_METER.ranges[0], step=1e-9, noise=0.1),),
    )
    value = true_value(SOUND, HERE)
    found = rule_against_neighbour(SOUND, SOUND, HERE, THERE, 5.0, doubt=sure, meter=plain)
    z = 0.05 * value / (0.1 * hypot(1.0, 0.95))
    from scipy.special import ndtr

    assert found.false_alarm == pytest.approx(ndtr(-z), rel=1e-6)
    assert found.missed == pytest.approx(ndtr(z), rel=1e-6)
    assert found.percent == 5.0


@pytest.mark.parametrize("percent", RULES)
@pytest.mark.parametrize("what", ["current", "open-voltage"])
def test_against_a_prediction_many_meters_err_as_often_as_is_said(what: str, percent: float) -> None:
    """What is reckoned normal about the truth; then by sensors and modules drawn within their own limits."""
    probe = replace(HERE, what=what)
    meter = CLAMP_METER if what == "current" else VOLTMETER
    found = rule_against_prediction(SOUND, SHADED, probe, percent)
    noise = np.random.default_rng(1).standard_normal(COUNT)
    by_spread = true_value(SOUND, probe) + prediction_uncertainty(SOUND, probe) * noise
    by_people = reckoned(probe, 1)
    for solution, chance in ((SOUND, found.false_alarm), (SHADED, 1.0 - found.missed)):
        shown = read_often(meter, np.full(COUNT, true_value(solution, probe)), serial=SERIAL).value
        assert share(called_faulty(shown, by_spread, percent)) == pytest.approx(chance, abs=NEAR)
        assert share(called_faulty(shown, by_people, percent)) == pytest.approx(chance, abs=RECTANGULAR)


@pytest.mark.parametrize("percent", RULES)
def test_beside_a_neighbour_many_meters_err_as_often_as_is_said(percent: float) -> None:
    found = rule_against_neighbour(SOUND, SHADED, HERE, THERE, percent)
    rng = np.random.default_rng(3)
    for solution, chance in ((SOUND, found.false_alarm), (SHADED, 1.0 - found.missed)):
        here, there = true_value(solution, HERE), true_value(solution, THERE)
        unlike = 0.01 * USUAL_DOUBT.neighbour_percent * there * rng.standard_normal(COUNT)
        first = read_often(CLAMP_METER, here + unlike, serial=SERIAL, number=1).value
        second = read_often(CLAMP_METER, np.full(COUNT, there), serial=SERIAL, number=2).value
        assert share(called_faulty(first, second, percent)) == pytest.approx(chance, abs=NEAR)


def test_arrays_of_unlike_cells_are_called_faulty_about_as_often_as_is_said() -> None:
    """Twelve sound arrays of the usual scatter: their strings lie apart by no more than the usual doubt,
    and with just that spread as doubt, the rule calls as many of them faulty as the closed form says."""
    small = set_string_length(ROOF, 4)
    drawn = [
        solve_array(set_scatter(small, replace(USUAL_SCATTER, seed=seed))).strings.current_A
        for seed in range(12)
    ]
    pairs = np.array([*drawn, *(one[::-1] for one in drawn)])  # either string may be looked at
    apart_percent = 100.0 * float((pairs[:, 1] / pairs[:, 0] - 1.0).std())
    assert 0.2 < apart_percent < 1.5 * USUAL_DOUBT.neighbour_percent
    sound = solve_array(small)
    doubt = Doubt(neighbour_percent=apart_percent)
    each = 4_000
    first, second = (
        np.concatenate([
            read_often(CLAMP_METER, np.full(each, pair[column]), serial=np.arange(each), number=number).value
            for pair in pairs
        ])
        for column, number in ((1, 1), (0, 2))
    )
    for percent in (1.0, 2.0, 5.0):
        found = rule_against_neighbour(sound, sound, HERE, THERE, percent, doubt=doubt)
        # Twelve arrays, each from both sides, are few: at a share of 0.1 their own scatter is 0.06.
        assert share(called_faulty(first, second, percent)) == pytest.approx(found.false_alarm, abs=0.07)


def test_five_per_cent_cry_wolf_less_and_miss_more_than_two() -> None:
    for judge in (
        lambda percent: rule_against_prediction(SOUND, SHADED, HERE, percent),
        lambda percent: rule_against_neighbour(SOUND, SHADED, HERE, THERE, percent),
    ):
        wide, narrow = map(judge, RULES)
        assert wide.false_alarm < narrow.false_alarm
        assert wide.missed > narrow.missed


def test_a_neighbour_makes_the_rule_better_in_both_ways() -> None:
    for percent in RULES:
        alone = rule_against_prediction(SOUND, SHADED, HERE, percent)
        beside = rule_against_neighbour(SOUND, SHADED, HERE, THERE, percent)
        assert beside.false_alarm < alone.false_alarm
        assert beside.missed < alone.missed


def test_an_open_string_is_missed_by_no_rule_and_an_unlike_neighbour_always_called() -> None:
    broken = solve_array(add_fault(ROOF, Fault("cable-open", Place(2))))
    assert rule_against_neighbour(SOUND, broken, HERE, THERE, 5.0).missed < 1e-9
    unlike = solve_array(paint(ROOF, [Place(2)], 0.5))
    assert rule_against_neighbour(unlike, unlike, HERE, THERE, 5.0).false_alarm > 1.0 - 1e-9


def test_the_spread_against_a_prediction_is_that_of_reading_and_reckoning() -> None:
    value = true_value(SOUND, HERE)
    half = rule_against_prediction(SOUND, SOUND, HERE, 0.0)
    assert half.false_alarm == pytest.approx(0.5)
    spread = hypot(budget_of(CLAMP_METER, value).combined, 0.98 * prediction_uncertainty(SOUND, HERE))
    two = rule_against_prediction(SOUND, SOUND, HERE, 2.0).false_alarm
    from scipy.special import ndtr

    assert two == pytest.approx(float(ndtr(-0.02 * value / spread)))
    assert spread > 0.05 * value / sqrt(3.0)  # the light alone


@pytest.mark.parametrize("what", ["irradiance", "back", "insulation"])
def test_per_cent_of_light_warmth_and_insulation_are_refused(what: str) -> None:
    with pytest.raises(ScenarioError, match="a rule of per cent is asked of"):
        rule_against_prediction(SOUND, SOUND, replace(HERE, what=what), 5.0)


def test_a_rule_of_no_neighbour_or_of_no_per_cent_is_refused() -> None:
    with pytest.raises(ScenarioError, match="a neighbour"):
        rule_against_neighbour(SOUND, SOUND, HERE, HERE, 5.0)
    with pytest.raises(ScenarioError, match="percent"):
        rule_against_prediction(SOUND, SOUND, HERE, 101.0)
