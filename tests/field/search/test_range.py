"""Ranges that are set by hand in a search: what a meter beyond its range tells, and what a coarse one."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from pvsim.array import Place
from pvsim.errors import ScenarioError
from pvsim.field.search import Act, Foresight, Transcript, debrief_of, do, search_case
from pvsim.field.search.answer import Answer
from pvsim.field.search.plant import AS_FOUND
from pvsim.field.search.reckoning import evenly, expected_bit, gained_bit, learnt, learnt_from
from pvsim.field.search.replay import replayed

CASE = search_case(6, 1)
LENGTH = len(CASE.sound.array.strings[0].modules)


def module_at(number: int = 1, range_most: float = 0.0) -> Act:
    return Act(kind="read", what="voltage", place=Place(1, number), range_most=range_most)


def whole(range_most: float = 0.0) -> Act:
    return Act(kind="read-run", place=Place(1, 1), last=LENGTH, range_most=range_most)


@cache
def know() -> Foresight:
    return Foresight(CASE)


def done(*acts: Act) -> Transcript:
    transcript = Transcript()
    for act in acts:
        transcript = do(CASE, transcript, act).transcript
    return transcript


def test_too_small_a_range_is_a_line_that_costs_its_minutes() -> None:
    line = done(module_at(1, 6.0)).lines[0]
    assert line.end_min == done(module_at(1)).minutes == 3.0
    assert line.found[0].reading.over_range
    assert line.found[0].reading.range_most == 6.0


def test_too_large_a_range_is_less_well_known() -> None:
    fine, coarse = (line.found[0].reading for line in done(module_at(1), module_at(1, 1500.0)).lines)
    assert coarse.standard_uncertainty > 2.0 * fine.standard_uncertainty
    assert abs(coarse.value - fine.value) < 2.0 * coarse.expanded_uncertainty


def test_a_range_is_set_where_a_meter_has_it() -> None:
    with pytest.raises(ScenarioError, match="range of 7 V"):
        module_at(1, 7.0)
    with pytest.raises(ScenarioError, match="no range is set"):
        Act(kind="read", what="insulation", place=Place(1), range_most=20.0)
    with pytest.raises(ScenarioError, match="no range is set"):
        Act(kind="trace", place=Place(1), range_most=100.0)


def middle_V() -> float:
    """A value that some candidates have the whole run below, and others above."""
    mu, _sigma = know().readings(list(range(len(know().candidates))), AS_FOUND, whole())
    return float(np.median(mu))


def test_beyond_the_range_is_the_information_that_it_is() -> None:
    """Against draws: of each candidate, the share of readings that lie beyond, by chance alone."""
    even = evenly(know())
    numbers = list(range(len(even)))
    mu, sigma = know().readings(numbers, AS_FOUND, whole())
    end_V = middle_V()
    rng = np.random.default_rng(5)
    drawn = mu[:, 0] + sigma[:, 0] * rng.standard_normal((40_000, len(even)))
    share = (drawn > end_V).mean(axis=0)
    floor = 0.03  # of what nobody reckoned with, at work: half of it beyond
    expected = even * ((1.0 - floor) * share + 0.5 * floor)
    found = learnt(know(), even, AS_FOUND, whole(), np.array([end_V]), np.array([True]))
    assert found == pytest.approx(expected / expected.sum(), abs=0.01 * float(even.max()))
    assert found[mu[:, 0] > end_V].sum() > even[mu[:, 0] > end_V].sum()


def test_what_every_candidate_goes_beyond_tells_nothing() -> None:
    act = module_at(1, 6.0)
    even = evenly(know())
    mu, _sigma = know().readings(list(range(len(even))), AS_FOUND, act)
    beyond = np.flatnonzero(mu[:, 0] > 20.0)
    line = done(act).lines[0]
    found = learnt_from(know(), even, AS_FOUND, line)
    # Among those that are far beyond, nothing changes.
    assert found[beyond] / found[beyond].sum() == pytest.approx(even[beyond] / even[beyond].sum())
    assert gained_bit(even, found) <= expected_bit(know(), even, AS_FOUND, module_at(1)) + 0.5


def test_what_is_expected_of_a_small_range_is_what_it_gains_on_average() -> None:
    even = evenly(know())
    numbers = list(range(len(even)))
    for act in (module_at(1, 6.0), module_at(1, 60.0)):
        mu, sigma = know().readings(numbers, AS_FOUND, act)
        rng = np.random.default_rng(2)
        gained = []
        for which in rng.choice(numbers, size=1500, p=even):
            value = rng.normal(mu[which, 0], sigma[which, 0])
            over = abs(value) > act.range_most
            value = np.copysign(act.range_most, value) if over else value
            after = learnt(know(), even, AS_FOUND, act, np.array([value]), np.array([over]))
            gained.append(gained_bit(even, after))
        # Three nodes, candidates alike to a tenth of their error, the floor: as of readings with a figure.
        assert np.mean(gained) == pytest.approx(expected_bit(know(), even, AS_FOUND, act), rel=0.25, abs=0.03)


def test_a_small_range_is_expected_to_tell_less() -> None:
    even = evenly(know())
    small, full = (expected_bit(know(), even, AS_FOUND, act) for act in (module_at(1, 6.0), module_at(1)))
    assert small < full


@pytest.mark.parametrize(
    ("ranges", "again"),
    [
        ((0.0, 0.0), (False, True)),
        ((6.0, 6.0), (False, True)),
        ((6.0, 0.0), (False, False)),  # a figure after a reading beyond
        ((1500.0, 0.0), (False, False)),  # a finer one
        ((0.0, 1500.0), (False, True)),
        ((0.0, 6.0), (False, True)),  # that it is beyond was known
    ],
)
def test_the_same_again_tells_nothing_but_on_a_finer_range(
    ranges: tuple[float, ...], again: tuple[bool, ...]
) -> None:
    steps = replayed(know(), done(*(module_at(1, most) for most in ranges)))
    assert tuple(step.again for step in steps) == again
    for step in steps:
        assert not step.again or (step.after == step.before).all()


def test_a_debrief_weighs_a_reading_beyond_and_still_offers_the_look() -> None:
    answer = Answer(kind="soiling", place=Place(1, 1), sure_percent=50.0)
    found = debrief_of(CASE, done(module_at(1, 6.0), module_at(1)), answer, know())
    beyond, figure = found.lines
    assert beyond.better is not None
    assert beyond.expected_bit < figure.expected_bit
    assert figure.gained_bit > 0.0
