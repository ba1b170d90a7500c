"""What can be undone."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvsim.app.session.history import LONGEST, History, add, amend, back, forward, lend, own, start
from pvsim.array.array import Array, Module, String
from pvsim.array.operation import Operation
from pvsim.array.scenario import Scenario

FIRST = Scenario(title="0", array=Array(strings=(String(modules=(Module("full-36"),)),)))


def named(number: int) -> Scenario:
    return replace(FIRST, title=str(number))


@pytest.fixture
def history() -> History:
    """Three steps, the last one current."""
    return add(add(start(named(0)), named(1), "one"), named(2), "two")


def test_a_history_begins_with_nothing_to_undo() -> None:
    first = start(FIRST)
    assert not first.can_go_back
    assert not first.can_go_forward
    assert first.previous is None
    assert back(first) == first
    assert forward(first) == first


def test_back_and_forward_meet_where_they_began(history: History) -> None:
    assert back(history).current.scenario == named(1)
    assert forward(back(history)) == history
    assert back(back(back(history))).current.scenario == named(0)


def test_a_step_after_undo_forgets_what_was_undone(history: History) -> None:
    branched = add(back(back(history)), named(7), "seven")
    assert [step.scenario.title for step in branched.steps] == ["0", "7"]


def test_amending_replaces_the_current_step(history: History) -> None:
    amended = amend(history, named(9), "nine")
    assert [step.scenario.title for step in amended.steps] == ["0", "1", "9"]
    assert amended.previous == history.previous


def test_moving_the_operating_point_is_not_what_a_change_is_compared_with(history: History) -> None:
    held = replace(named(2), operation=Operation("voltage", 10.0))
    moved = add(history, held, "held")
    assert moved.previous is not None
    assert moved.previous.scenario == named(2)
    assert moved.compared is not None
    assert moved.compared.scenario == named(1)


@given(st.lists(st.sampled_from(["add", "amend", "back", "forward"]), max_size=60))
def test_whatever_is_done_the_current_step_is_one_of_the_steps(moves: list[str]) -> None:
    history = start(FIRST)
    for number, move in enumerate(moves):
        if move in ("add", "amend"):
            history = (add if move == "add" else amend)(history, named(number), move)
        else:
            history = (back if move == "back" else forward)(history)
        assert 0 <= history.index < len(history.steps) <= LONGEST
        assert history.can_go_back == (history.previous is not None)


def test_what_is_lent_follows_ones_own_steps_and_what_is_made_of_it_is_lent_too(history: History) -> None:
    lent = amend(add(lend(history, named(10), "lesson"), named(11), "act"), named(12), "act")
    assert [step.lent for step in lent.steps] == [False, False, False, True, True]
    assert back(back(lent)).current == history.current
    assert own(lent) == history


def test_what_is_lent_next_takes_the_place_of_what_was(history: History) -> None:
    first = add(lend(history, named(10), "step 1"), named(11), "act")
    second = lend(first, named(20), "step 2")
    assert [step.scenario for step in second.steps] == [named(0), named(1), named(2), named(20)]


def test_one_s_own_work_after_going_back_to_it_ends_what_was_lent(history: History) -> None:
    again = add(back(lend(history, named(10), "lesson")), named(3), "three")
    assert not again.current.lent
    assert own(again) == again
