"""What a class is offered to read next: one best, poor ones, one unsafe; and nothing that tells the fault."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from pvsim.array.place import WHOLE_ARRAY
from pvsim.field.search import (
    Choice,
    Foresight,
    SearchCase,
    Transcript,
    acts_of,
    best_of,
    candidates_of,
    do,
    offer_of,
    plant_after,
    refusal_of,
    search_case,
)
from pvsim.field.search.look import all_looks, minutes_to
from pvsim.field.search.reckoning import evenly, expected_bit, worth_it

SEEDS = (6, 7, 8)
PLANT = WHOLE_ARRAY


@cache
def known(seed: int) -> tuple[SearchCase, Foresight]:
    case = search_case(seed, 1)
    return case, Foresight(case)


@cache
def first(seed: int) -> tuple[Choice, ...]:
    case, know = known(seed)
    return offer_of(case, Transcript(), know)


@pytest.mark.parametrize("seed", SEEDS)
def test_one_is_best_of_all_that_could_be_read(seed: int) -> None:
    _case, know = known(seed)
    likely, plant = evenly(know), plant_after(Transcript())
    rates = []
    for look in worth_it(know, likely, list(all_looks(know.seen))):
        minutes, then = minutes_to(plant, look)
        rates.append(expected_bit(know, likely, then, look.act) / minutes)
    offer = first(seed)
    best = offer[best_of(offer)]
    assert best.sort == "best"
    assert best.rate_bit_min == pytest.approx(max(rates), rel=1e-5)  # the searchers' own tie


@pytest.mark.parametrize("seed", SEEDS)
def test_there_are_a_best_a_second_two_poor_ones_and_one_that_is_refused(seed: int) -> None:
    offer = first(seed)
    sorts = sorted(one.sort for one in offer)
    assert sorts in (["best", kind, "poor", "poor", "unsafe"] for kind in ("halving", "other"))
    assert len({(one.act, one.look) for one in offer}) == len(offer)
    most = offer[best_of(offer)].rate_bit_min
    assert all(one.rate_bit_min <= 0.5 * most for one in offer if one.sort == "poor")


@pytest.mark.parametrize("seed", SEEDS)
def test_the_unsafe_one_is_refused_with_its_reason_and_all_others_are_done(seed: int) -> None:
    case, _know = known(seed)
    for choice in first(seed):
        transcript = Transcript()
        for act in acts_of(plant_after(transcript), choice):
            transcript = do(case, transcript, act).transcript
        last = transcript.lines[-1]
        assert last.act == choice.act
        assert bool(last.refused) == (choice.sort == "unsafe")
        assert transcript.minutes == choice.minutes, "its way is counted in"
        if choice.sort == "unsafe":
            refusal = refusal_of(plant_after(Transcript()), choice.act)
            assert refusal is not None
            assert refusal.unsafe
            assert refusal.sentence


def test_the_way_is_that_from_where_the_plant_stands_by_then() -> None:
    case, _know = known(7)
    choice = next(one for one in first(7) if one.look is not None and one.look.mode == "work")
    transcript = Transcript()
    for kind in ("stop", "open-switch"):
        transcript = do(
            case, transcript, replace(choice.act, kind=kind, place=PLANT, what="", last=0)
        ).transcript
    acts = acts_of(plant_after(transcript), choice)
    assert [act.kind for act in acts[:-1]] == ["close-switch", "start"]
    for act in acts:
        transcript = do(case, transcript, act).transcript
    assert not any(line.refused for line in transcript.lines)


def test_the_order_is_drawn_from_the_seed_and_the_best_is_not_always_first() -> None:
    places = set()
    case, know = known(7)
    transcript = Transcript()
    for _ in range(6):
        offer = offer_of(case, transcript, know)
        assert offer == offer_of(case, transcript, know)
        places.add(best_of(offer))
        for act in acts_of(plant_after(transcript), offer[best_of(offer)]):
            transcript = do(case, transcript, act).transcript
    assert len(places) > 1


def test_what_was_read_is_not_offered_again_while_anything_else_is_left() -> None:
    case, know = known(6)
    offer = first(6)
    best = offer[best_of(offer)]
    transcript = do(case, Transcript(), best.act).transcript
    assert best.look not in {one.look for one in offer_of(case, transcript, know)}


def test_the_same_is_offered_whatever_is_hidden() -> None:
    case, _know = known(7)
    for candidate in candidates_of(case)[:: len(candidates_of(case)) // 3]:
        other = replace(case, faults=candidate.faults)
        assert offer_of(other, Transcript()) == first(7)
