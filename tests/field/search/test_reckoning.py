"""Reckoning: what may be passed over, and what is reckoned as one, changes nothing that is told."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.array import Place
from pvsim.field.search import Act, Foresight, Transcript, do, search_case
from pvsim.field.search.foresight import groups_of
from pvsim.field.search.look import all_looks, minutes_to
from pvsim.field.search.plant import AS_FOUND, Plant
from pvsim.field.search.reckoning import best_look, evenly, expected_bit, learnt_from, worth_it


@pytest.mark.parametrize(("seed", "level"), [(6, 1), (3, 2), (5, 3), (13, 6)])
def test_the_best_look_is_that_of_all_of_them_one_by_one(seed: int, level: int) -> None:
    case = search_case(seed, level)
    know = Foresight(case)
    likely, transcript = evenly(know), Transcript()
    acts = [
        Act(kind="read", what="current", place=Place(1)),
        Act(kind="read-run", place=Place(1, 1), last=2),
        Act(kind="read", what="voltage", place=Place(1, 2)),
    ]
    for act in acts:
        looks = worth_it(know, likely, list(all_looks(know.seen)))
        found, rate = best_look(know, likely, looks, AS_FOUND)
        rates = []
        for look in looks:
            minutes, then = minutes_to(AS_FOUND, look)
            rates.append(expected_bit(know, likely, then, look.act) / minutes)
        best = next(number for number, one in enumerate(rates) if one > max(rates) * (1.0 - 1e-6))
        assert rate == pytest.approx(max(rates), rel=2e-6)
        assert rates[looks.index(found)] == pytest.approx(rates[best], rel=2e-6)
        transcript = do(case, transcript, act).transcript
        likely = learnt_from(know, likely, AS_FOUND, transcript.lines[-1])


def test_nothing_tells_more_than_there_is_to_be_told() -> None:
    know = Foresight(search_case(6, 1))
    even = evenly(know)
    left_bit = -float((even * np.log2(even)).sum())
    for look in all_looks(know.seen):
        _minutes, then = minutes_to(AS_FOUND, look)
        assert 0.0 <= expected_bit(know, even, then, look.act) <= left_bit


def test_alike_are_those_that_no_reading_tells_apart() -> None:
    value = np.array([[1.0, 5.0], [1.001, 5.0], [1.0, 5.3], [1.5, 5.0]])
    sure = np.full((4, 2), 0.5)
    first, second, third, fourth = groups_of(value, sure).tolist()
    assert first == second
    assert len({first, third, fourth}) == 3


def test_asked_in_part_and_asked_as_a_whole_are_the_same() -> None:
    """Rows come from circuits solved for others that are alike, whoever asks first."""
    case = search_case(5, 3)
    plants = (AS_FOUND, Plant(cloth=Place(2, 2, substring=1)), Plant(running=False, switch_closed=False))
    acts = (
        Act(kind="read-run", place=Place(2, 1), last=3),
        Act(kind="read", what="voltage", place=Place(2, 2)),
        Act(kind="read", what="current", place=Place(1)),
        Act(kind="read", what="back", place=Place(1, 2)),
        Act(kind="picture", place=Place(2)),
        Act(kind="picture", place=Place(2, 2)),
    )
    whole, piecemeal = Foresight(case), Foresight(case)
    numbers = np.arange(len(whole.candidates))
    for plant in plants:
        for act in acts:
            value, sure = whole.readings(numbers, plant, act)
            for number in (0, 17, 60, len(numbers) - 1):
                one = piecemeal.reading(number, plant, act)
                np.testing.assert_allclose(one[0], value[number], atol=2e-5)  # to what is kept of each
                np.testing.assert_allclose(one[1], sure[number], atol=2e-5)
