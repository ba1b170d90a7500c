"""The pace: blocks of one family first, then mixed; up and down by what was found."""

from __future__ import annotations

import pytest

from pvsim.errors import ScenarioError
from pvsim.field.search import FAMILIES, LEVELS, REASONS, Past, Practice, kinds_at, next_practice
from pvsim.field.search.pace import STUCK, blocks_of


def past(level: int, family: str, *, good: bool = True) -> Past:
    return Past(
        level=level,
        family=family,
        points=80.0 if good else 10.0,
        solved=good,
        minutes=20.0,
        best_minutes=12.0,
    )


def played(good: bool, count: int) -> list[Practice]:
    """What somebody gets who always, or never, succeeds."""
    done: list[Past] = []
    out = []
    for _search in range(count):
        then = next_practice(done)
        out.append(then)
        done.append(past(then.level, then.family, good=good))
    return out


def test_a_beginner_starts_with_a_block_on_the_first_level() -> None:
    assert next_practice(()) == Practice(level=1, family=blocks_of(1)[0], reason="block")


def test_every_block_is_one_that_its_level_hides() -> None:
    for level in LEVELS:
        assert all(kinds_at(level, family) for family in blocks_of(level))
    assert set().union(*(blocks_of(level) for level in LEVELS)) == set(FAMILIES)
    assert blocks_of(6) == ()  # two faults, of two families


def test_who_always_succeeds_goes_up_to_the_last_level_with_blocks_before_mixed() -> None:
    found = played(True, 60)
    levels = [one.level for one in found]
    assert levels == sorted(levels)
    assert levels[-1] == max(LEVELS)
    for level in LEVELS:
        mine = [one.family for one in found if one.level == level]
        assert mine[: len(blocks_of(level))] == list(blocks_of(level))
        assert set(mine[len(blocks_of(level)) :]) == {""}


def test_who_never_succeeds_stays_on_the_first_level_and_sees_all_families() -> None:
    found = played(False, 40)
    assert {one.level for one in found} == {1}
    for family in blocks_of(1):
        assert sum(one.family == family for one in found) == STUCK
    assert found[-1].family == ""


def test_a_block_is_repeated_until_a_search_of_it_is_good() -> None:
    first = blocks_of(1)[0]
    assert next_practice([past(1, first, good=False)]) == Practice(level=1, family=first, reason="again")
    assert next_practice([past(1, first, good=False), past(1, first)]).family == blocks_of(1)[1]


def test_two_of_three_lead_up_or_down() -> None:
    base = [past(2, "")]
    assert next_practice([*base, past(2, "", good=False)]).level == 2
    assert next_practice([*base, past(2, "", good=False), past(2, "")]) == Practice(
        level=3, family=blocks_of(3)[0], reason="up"
    )
    down = next_practice([*base, past(2, "", good=False), past(2, "", good=False)])
    assert down == Practice(level=1, family="", reason="down")


def test_what_was_done_before_one_came_back_does_not_count() -> None:
    before = [past(2, "", good=False), past(2, "", good=False)]
    there = [past(1, ""), past(1, "")]
    assert next_practice([*before, *there]) == Practice(level=2, family="", reason="up")
    assert next_practice([*before, *there, past(2, "", good=False)]).level == 2


def test_every_reason_is_said_and_a_wrong_past_is_refused() -> None:
    for good in (True, False):
        assert {one.reason for one in played(good, 60)} <= set(REASONS)
    with pytest.raises(ScenarioError):
        past(9, "")
    with pytest.raises(ScenarioError):
        past(1, "magic")
