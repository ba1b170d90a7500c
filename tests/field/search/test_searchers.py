"""Searchers: every case can be solved, and looking for what tells most per minute pays."""

from __future__ import annotations

import os
from dataclasses import replace

import numpy as np
import pytest

from pvsim.array import Fault, Place
from pvsim.errors import ScenarioError
from pvsim.field.search import search_case
from pvsim.field.search.foresight import Foresight
from pvsim.field.search.searchers import SEARCHERS, Searched, search

# The higher levels take minutes of a processor: each time the lowest two, all where a long run is asked for.
LONG = os.environ.get("PVSIM_HYPOTHESIS") == "long"
GUESSED = 3  # who guesses takes long: of so many cases alone
LEVELS = [(1, 40), (2, 30), (3, 20), (4, 12), (5, 10), (6, 12)] if LONG else [(1, 8), (2, 5)]


def searched(level: int, seed: int) -> dict[str, Searched]:
    case = search_case(seed, level)
    know = Foresight(case)
    who_searches = SEARCHERS if LONG or seed < GUESSED else ("halve", "best")
    return {who: search(case, who, know) for who in who_searches}


def minutes(found: list[dict[str, Searched]], who: str) -> float:
    return float(np.mean([one[who].transcript.minutes for one in found]))


@pytest.mark.parametrize(("level", "seeds"), LEVELS)
def test_every_case_is_solved_and_the_better_search_is_the_shorter(level: int, seeds: int) -> None:
    found = [searched(level, seed) for seed in range(seeds)]
    # SURE is 95 %: of many, one in twenty may be taken for another.
    assert np.mean([one["best"].solved for one in found]) >= 0.9
    guessed = [one for one in found if "guess" in one]
    assert minutes(found, "best") <= minutes(found, "halve")
    assert minutes(guessed, "halve") <= minutes(guessed, "guess")
    for one in found:
        for how in one.values():
            assert not any(line.refused for line in how.transcript.lines)  # in the safe order


def test_a_searcher_sees_no_more_than_meters_show() -> None:
    """What it would do before the first reading is the same whatever is hidden."""
    case = search_case(4, 1)
    other = replace(case, faults=(Fault("diode-open", Place(1, 1, diode=1)),))
    for who in SEARCHERS:
        first = [search(one, who).transcript.lines[0].act for one in (case, other)]
        assert first[0] == first[1]


def test_the_same_case_is_searched_in_the_same_way() -> None:
    case = search_case(2, 1)
    assert search(case, "best") == search(case, "best")


def test_an_unknown_searcher_is_refused() -> None:
    with pytest.raises(ScenarioError):
        search(search_case(1, 1), "luck")  # type: ignore[arg-type]
