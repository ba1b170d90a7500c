"""The gate, without any server."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from pvsim.app.door import admission
from pvsim.app.door.admission import Bucket, Gate


def test_a_bucket_gives_what_it_holds_at_once_and_then_so_much_a_second():
    now = [0.0]
    bucket = Bucket(3, 2.0, lambda: now[0])
    assert [bucket.take() for _ in range(4)] == [True, True, True, False]
    now[0] += 0.5  # one more
    assert [bucket.take() for _ in range(2)] == [True, False]
    now[0] += 1000.0  # no more than it holds, however long it waited
    assert [bucket.take() for _ in range(4)] == [True, True, True, False]


@given(st.lists(st.floats(0.0, 2.0), max_size=60))
def test_no_rhythm_gets_more_out_of_a_bucket_than_its_size_and_rate(pauses):
    now = [0.0]
    bucket = Bucket(5, 3.0, lambda: now[0])
    taken = 0
    for pause in pauses:
        now[0] += pause
        taken += bucket.take()
    assert taken <= 5 + 3.0 * now[0] + 1e-9


def test_a_room_an_address_and_the_house_are_each_full_at_some_time(monkeypatch):
    monkeypatch.setattr(admission, "MAX_PHONES", 4)
    monkeypatch.setattr(admission, "MAX_IN_ROOM", 3)
    monkeypatch.setattr(admission, "MAX_FROM_ADDRESS", 2)
    door = Gate()
    assert [door.enter("A", "one") for _ in range(3)] == [True, True, False]  # the address
    assert [door.enter("A", "two") for _ in range(2)] == [True, False]  # the room
    assert [door.enter("B", name) for name in ("three", "four")] == [True, False]  # the house
    door.leave("A", "one")
    assert door.enter("B", "four")


def test_one_address_may_send_so_many_voters_and_all_of_them_again(monkeypatch):
    monkeypatch.setattr(admission, "MAX_VOTERS_FROM_ADDRESS", 2)
    door = Gate()
    assert [door.vote("A", "one", voter) for voter in "xyz"] == [True, True, False]
    assert [door.vote("A", "one", voter) for voter in "xyz"] == [True, True, False]
    assert door.vote("A", "two", "z")
    assert door.vote("B", "one", "z")


def test_a_right_code_costs_nothing_and_opens_the_way_for_its_address(monkeypatch):
    monkeypatch.setattr(admission, "WRONG_AT_ONCE", 3)
    now = [0.0]
    door = Gate(lambda: now[0])
    for _ in range(10):
        assert door.knock("CLASS", "one") == 0.0
        door.knocked("CLASS", "one", waited=False, there=True)
    for number in range(3):
        assert door.knock(f"WRONG{number}", "one") == 0.0
        door.knocked(f"WRONG{number}", "one", waited=False, there=False)
    assert door.knock("WRONG4", "one") == admission.WAIT_s
    assert door.knock("CLASS", "one") == 0.0  # whatever a neighbour tries
    assert door.knock("OTHER", "two") == 0.0  # and another address is none of its business
    assert door.crowd("CLASS").wrong == 3


@given(st.lists(st.tuples(st.floats(0.0, 3.0), st.booleans()), max_size=200))
def test_no_rhythm_has_more_codes_looked_up_than_the_bounds_allow(knocks):
    now = [0.0]
    door = Gate(lambda: now[0])
    waiting, looked_up = [], 0
    for pause, right in knocks:
        now[0] += pause
        for due in [one for one in waiting if one <= now[0]]:
            waiting.remove(due)
            door.knocked("WRONG", "one", waited=True, there=False)
        wait_s = door.knock("WRONG", "one")
        if wait_s is None:
            continue
        looked_up += 1
        if wait_s:
            waiting.append(now[0] + wait_s)
        else:
            door.knocked("WRONG", "one", waited=False, there=False)
        if right and door.knock("CLASS", "two") == 0.0:
            door.knocked("CLASS", "two", waited=False, there=True)
    rate_1_s = admission.WRONG_1_s + admission.MOST_WAITING / admission.WAIT_s
    assert looked_up <= admission.WRONG_AT_ONCE + admission.MOST_WAITING + rate_1_s * now[0] + 1e-9


def test_a_class_that_has_ended_is_a_wrong_code_like_any_other():
    door = Gate(lambda: 0.0)
    door.knock("CLASS", "one")
    door.knocked("CLASS", "one", waited=False, there=True)
    wrong = 0
    while door.knock("CLASS", "one") == 0.0:
        door.knocked("CLASS", "one", waited=False, there=False)
        wrong += 1
        assert wrong <= admission.WRONG_AT_ONCE


def test_the_crowd_is_what_one_address_sent_beside_all_others():
    door = Gate()
    for number in range(22):
        door.vote("CLASS", "one", f"voter-{number}")
    for number in range(9):
        door.vote("CLASS", f"other-{number}", "voter")
    door.vote("ELSE", "one", "voter")
    assert door.crowd("CLASS") == (22, 31, 0)
    assert door.crowd("NONE") == (0, 0, 0)


def test_what_is_remembered_of_tries_is_bounded(monkeypatch):
    monkeypatch.setattr(admission, "MAX_ADDRESSES", 10)
    door = Gate()
    for number in range(50):
        for code in ("CLASS", "WRONG"):
            door.knock(code, str(number))
            door.knocked(code, str(number), waited=False, there=code == "CLASS")
    assert max(map(len, (door._tries, door._known, door._wrong))) <= 10
    assert not door._waiting


def test_what_is_remembered_is_bounded_and_forgotten_when_the_last_phone_has_left(monkeypatch):
    monkeypatch.setattr(admission, "MAX_ADDRESSES", 10)
    door = Gate()
    for number in range(50):
        door.vote("A", str(number), "x")
    assert len(door._voters) == 10
    for _ in range(2):
        door.enter("A", "one")
    door.vote("B", "one", "x")
    door.leave("A", "one")
    assert any(code == "A" for code, _ in door._voters)
    door.leave("A", "one")
    assert list(door._voters) == [("B", "one")]
    assert not door._rooms
    assert not door._addresses
