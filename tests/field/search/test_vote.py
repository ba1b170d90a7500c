"""Votes of a class: what most want, and the room's search beside the best that was offered."""

from __future__ import annotations

import pytest

from pvsim.array.place import Place
from pvsim.field.search import (
    Answer,
    Foresight,
    Transcript,
    Vote,
    acts_of,
    best_of,
    debrief_of,
    do,
    most_wanted,
    offer_of,
    plant_after,
    room_search,
    search_case,
)


@pytest.mark.parametrize(
    ("counts", "place"),
    [
        pytest.param((0, 3, 1), 1, id="most"),
        pytest.param((2, 0, 2), 0, id="a-tie-goes-to-the-first"),
        pytest.param((0, 0, 0), None, id="nobody"),
        pytest.param((), None, id="nothing"),
    ],
)
def test_what_most_want_is_done(counts: tuple[int, ...], place: int | None) -> None:
    assert most_wanted(counts) == place


def test_the_room_s_search_stands_beside_the_best_that_was_offered() -> None:
    case = search_case(6, 1)
    know = Foresight(case)
    transcript, votes = Transcript(), []
    for sort in ("unsafe", "poor", "best"):
        offer = offer_of(case, transcript, know)
        chosen = next(place for place, one in enumerate(offer) if one.sort == sort)
        first = len(transcript.lines)
        for act in acts_of(plant_after(transcript), offer[chosen]):
            transcript = do(case, transcript, act).transcript
        counts = [0] * len(offer)
        counts[chosen] += 3
        counts[best_of(offer)] += 1
        votes.append(
            Vote(
                offer=offer, counts=tuple(counts), chosen=chosen, first=first, line=len(transcript.lines) - 1
            )
        )
    answer = Answer(kind="soiling", place=Place(1, 1), sure_percent=50.0)
    debrief = debrief_of(case, transcript, answer, know)
    found = room_search(votes, [line.end_min for line in transcript.lines], debrief)

    unsafe, poor, best = found.told
    assert poor.best.rate_bit_min >= 2.0 * poor.done.rate_bit_min
    assert (poor.votes, poor.for_best, poor.for_done) == (4, 1, 3)
    assert (unsafe.gained_bit, unsafe.minutes) == (0.0, 0.0)
    assert (best.votes, best.for_best, best.done) == (4, 4, best.best)
    for one in found.told:
        assert one.minutes == one.done.minutes
        assert one.gained_bit == debrief.lines[one.vote.line].gained_bit
    assert (found.votes, found.for_best, found.best_done) == (12, 6, 1)
    assert found.minutes == transcript.minutes == sum(one.minutes for one in found.told)
    assert found.best_minutes == debrief.best_minutes
