"""Debriefs: each line weighed with the reckoning of the best searcher."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from pvsim.array import Place
from pvsim.array.part_place import place_at
from pvsim.errors import ScenarioError
from pvsim.field.search import (
    HIDDEN_KINDS,
    TAKE_HINT,
    Act,
    Answer,
    Debrief,
    Foresight,
    Searched,
    Transcript,
    answer_of,
    debrief_of,
    do,
    judged_each,
    search,
    search_case,
)
from pvsim.field.search.plant import AS_FOUND
from pvsim.field.search.reckoning import evenly, expected_bit, gained_bit, learnt
from pvsim.field.search.replay import replaying

CASE = search_case(6, 1)
ANSWER = Answer(kind="soiling", place=Place(1, 1), sure_percent=50.0)


@cache
def know() -> Foresight:
    return Foresight(CASE)


@cache
def best() -> Searched:
    return search(CASE, "best", know())


def done(*acts: Act) -> Transcript:
    transcript = Transcript()
    for act in acts:
        transcript = do(CASE, transcript, act).transcript
    return transcript


def debriefed(*acts: Act) -> Debrief:
    return debrief_of(CASE, done(*acts), ANSWER, know())


def test_the_best_search_ends_sure_and_has_nothing_better_to_be_told() -> None:
    found = debrief_of(CASE, best().transcript, best().answers, know())
    last = found.lines[-1]
    assert (last.likeliest, last.share >= 0.95) == (
        tuple((one.kind, one.place) for one in best().answers),
        True,
    )
    first = found.lines[0]
    assert first.rate_bit_min == pytest.approx(first.better_rate_bit_min)
    assert found.minutes == found.best_minutes
    assert found.faults == CASE.faults
    assert found.solved


def test_what_is_expected_is_what_is_gained_on_average() -> None:
    """Drawn from the candidates and their errors, by the definition of mutual information."""
    act = Act(kind="read-run", place=Place(1, 1), last=2)
    even = evenly(know())
    numbers = list(range(len(even)))
    mu, sigma = know().readings(numbers, AS_FOUND, act)
    rng = np.random.default_rng(1)
    drawn = rng.choice(numbers, size=2000, p=even)
    values = rng.normal(mu[drawn, 0], sigma[drawn, 0])
    gained = [gained_bit(even, learnt(know(), even, AS_FOUND, act, np.array([one]))) for one in values]
    expected = expected_bit(know(), even, AS_FOUND, act)
    # Three nodes, candidates alike to a tenth of their error, the floor: within a fifth.
    assert np.mean(gained) == pytest.approx(expected, rel=0.2)


def test_a_reading_taken_again_tells_nothing_new() -> None:
    act = Act(kind="read-run", place=Place(1, 1), last=2)
    first, again = debriefed(act, act).lines
    assert first.gained_bit > 0.0
    assert (again.gained_bit, again.expected_bit) == (0.0, 0.0)
    assert again.share == first.share


def test_what_reads_nothing_of_the_fault_tells_nothing() -> None:
    lines = debriefed(Act(kind="stop"), Act(kind="read", what="irradiance"), TAKE_HINT).lines
    assert [(one.gained_bit, one.expected_bit, one.better) for one in lines] == [(0.0, 0.0, None)] * 3


def test_unsafe_acts_and_hints_are_counted() -> None:
    found = debriefed(Act(kind="open-switch"), Act(kind="start"), TAKE_HINT)
    assert (found.unsafe, found.refused, found.hints) == (1, 2, 1)
    assert not found.solved


def test_every_reading_that_can_be_taken_is_weighed() -> None:
    acts = [Act(kind="read", what=what) for what in ("power", "display-voltage", "voltage", "current")]
    acts += [Act(kind="read", what=what, place=Place(1, 1)) for what in ("back", "voltage", "current")]
    acts += [Act(kind="picture", place=Place(1)), Act(kind="cover", place=Place(1, 1, cell=1), leak=0.01)]
    acts += [Act(kind="read", what="current", place=Place(1)), Act(kind="stop"), Act(kind="open-switch")]
    acts += [Act(kind="prove-zero"), Act(kind="separate", place=Place(1))]
    acts += [Act(kind="trace", place=at) for at in (Place(1), Place(1, 2))]
    acts += [Act(kind="read", what=what, place=Place(1)) for what in ("open-voltage", "insulation")]
    lines = debriefed(*acts).lines
    assert len(lines) == len(acts)
    assert all(
        np.isfinite([one.gained_bit, one.expected_bit, one.better_rate_bit_min]).all() for one in lines
    )
    assert sum(one.gained_bit > 0.0 for one in lines) > 5


def test_as_many_answers_as_faults_are_asked_for() -> None:
    with pytest.raises(ScenarioError):
        debrief_of(CASE, Transcript(), (ANSWER, ANSWER), know())


def test_two_answers_may_come_in_either_order() -> None:
    case = search_case(1, 6)
    right = tuple(
        Answer(
            kind=answer_of(one.kind),
            place=place_at(case.sound, one.place, HIDDEN_KINDS[one.kind].judged),
            sure_percent=90.0,
        )
        for one in case.faults
    )
    assert all(one.solved for one in judged_each(case, right))
    assert judged_each(case, right[::-1]) == judged_each(case, right)
    half = judged_each(case, (ANSWER, right[0]))
    assert [one.solved for one in half] == [True, False]


def test_a_reading_is_weighed_with_all_that_may_be_hidden() -> None:
    """Where a fault may be many things each is faint, and together they are not: none is left out."""
    case = search_case(3, 5)
    know = Foresight(case)
    at = Place(1)
    transcript = Transcript()
    for kind in ("stop", "open-switch", "prove-zero"):
        transcript = do(case, transcript, Act(kind=kind)).transcript  # type: ignore[arg-type]
    for act in (Act(kind="separate", place=at), Act(kind="trace", place=at)):
        transcript = do(case, transcript, act).transcript
    *_before, step = replaying(know, transcript)
    line, even = transcript.lines[-1], evenly(know)
    assert (even < 2e-3).sum() > 1000
    mu, sigma = know.readings(np.arange(len(even)), step.plant, line.act)
    read = np.array([one.reading.value for one in line.found])
    density = np.exp(-0.5 * ((read - mu) / sigma) ** 2) / sigma / np.sqrt(2.0 * np.pi)
    floor = 1e-3 / (np.ptp(mu, axis=0) + 6.0 * sigma.max(axis=0))
    by_hand = even * (0.999 * density + floor).prod(axis=1)
    np.testing.assert_allclose(step.after, by_hand / by_hand.sum(), rtol=1e-9, atol=1e-12)
