"""Hints: they cost minutes, are lines of the transcript, and none of them tells the fault."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pvsim.array import Fault, Place
from pvsim.errors import ScenarioError
from pvsim.field.search import (
    LEVELS,
    MOST_HINT,
    TAKE_HINT,
    Act,
    Foresight,
    Transcript,
    do,
    hint_of,
    hints_taken,
    minutes_of,
    next_hint,
    plant_after,
    search_case,
)
from pvsim.field.search.hint import still_possible


@pytest.mark.parametrize("level", LEVELS)
def test_hints_narrow_down_and_leave_at_least_two_answers(level: int) -> None:
    for seed in range(12):
        case = search_case(seed, level)
        left = [len(still_possible(case, number)) for number in range(MOST_HINT + 1)]
        assert left == sorted(left, reverse=True)
        assert left[-1] >= 2
        assert left[2] < left[0]


def test_a_hint_is_a_line_that_costs_minutes_and_leaves_the_plant_alone() -> None:
    case = search_case(3, 2)
    transcript = do(case, Transcript(), Act(kind="stop")).transcript
    outcome = do(case, transcript, TAKE_HINT)
    assert outcome.refusal is None
    assert outcome.transcript.minutes == transcript.minutes + minutes_of(TAKE_HINT)
    assert plant_after(outcome.transcript) == plant_after(transcript)
    assert (hints_taken(transcript), hints_taken(outcome.transcript)) == (0, 1)
    assert hint_of(case, transcript, 1).minutes == minutes_of(TAKE_HINT) > 0.0


def test_the_ladder_goes_up_and_its_last_rung_stays() -> None:
    case, transcript, numbers = search_case(3, 2), Transcript(), []
    for _taken in range(6):
        numbers.append(next_hint(transcript))
        transcript = do(case, transcript, TAKE_HINT).transcript
    assert numbers == [1, 2, 3, 4, 4, 4]


def test_the_last_hint_follows_what_was_read() -> None:
    case = search_case(3, 1)
    know = Foresight(case)
    read = do(case, Transcript(), Act(kind="read-run", place=Place(1, 1), last=2)).transcript
    first, then = hint_of(case, Transcript(), 4, know), hint_of(case, read, 4, know)
    assert first.sentence != then.sentence
    assert hint_of(case, read, 4) == then


def test_the_last_hint_knows_no_more_than_was_read() -> None:
    case = search_case(3, 1)
    other = replace(case, faults=(Fault("diode-short", Place(1, 2, diode=1)),))
    assert hint_of(case, Transcript(), 4) == hint_of(other, Transcript(), 4)


def test_a_hint_that_is_not_on_the_ladder_is_refused() -> None:
    for number in (0, 5):
        with pytest.raises(ScenarioError):
            hint_of(search_case(3, 2), Transcript(), number)
