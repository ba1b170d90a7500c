"""Counting, without any database."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from pvsim.store.room import ALPHABET, CODE_LENGTH, new_code, read_code
from pvsim.store.tally import tally_of


def test_nothing_is_counted_before_the_first_round():
    assert tally_of(1, choices=3, rounds=0, answers=[(1, 0, 5)]).rounds == ()


def test_phones_and_hands_are_counted_apart_and_by_round():
    tally = tally_of(
        7,
        choices=2,
        rounds=2,
        answers=[(1, 0, 3), (1, 1, 2), (2, 1, 5)],
        hands=[(1, 0, 4), (2, 1, 9), (2, 5, 1)],
    )
    first, second = tally.rounds
    assert (first.phones, first.counts, first.hands) == (5, (3, 2), (4, 0))
    assert (second.phones, second.counts, second.hands) == (5, (0, 5), (0, 9))
    assert tally.in_round(2) == second
    assert tally.in_round(3) is None


def test_numbers_come_in_rising_order_each_as_often_as_it_was_given():
    tally = tally_of(1, choices=0, rounds=1, answers=[(1, 2.5, 2), (1, -1.0, 1)])
    assert tally.rounds[0].numbers == (-1.0, 2.5, 2.5)
    assert tally.rounds[0].counts == ()


@given(st.lists(st.tuples(st.integers(1, 2), st.integers(0, 3), st.integers(1, 50)), max_size=40))
def test_no_answer_is_lost_or_counted_twice(answers):
    tally = tally_of(1, choices=4, rounds=2, answers=answers)
    for one in tally.rounds:
        assert sum(one.counts) == one.phones == sum(times for at, _, times in answers if at == one.round)


def test_codes_have_no_look_alikes_and_are_read_back_as_people_type_them():
    assert not set("0O1IL2Z5S8BUV") & set(ALPHABET)
    for _ in range(200):
        code = new_code()
        assert len(code) == CODE_LENGTH
        for typed in (code, code.lower(), f" {code[:2]} {code[2:]} ", f"{code[:3]}-{code[3:]}"):
            assert read_code(typed) == code


@given(st.one_of(st.text(), st.none(), st.integers(), st.binary()))
def test_what_can_be_no_code_is_none(typed):
    assert read_code(typed) is None or set(read_code(typed)) <= set(ALPHABET)
